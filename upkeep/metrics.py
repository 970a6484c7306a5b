"""Figures for a monitor, in the text format of Prometheus, at `/metrics/`.

Requests are counted by django-prometheus as they come. What waits in the records is read when it
is asked for, so that every process tells the same.
"""

from collections.abc import Iterator
from datetime import datetime

from django.conf import settings
from django.db.models import Count, F, Min
from django.http import HttpRequest, HttpResponse
from django.utils import timezone
from django.utils.crypto import constant_time_compare
from django_prometheus.exports import ExportToDjangoView
from prometheus_client import CollectorRegistry, generate_latest
from prometheus_client.core import GaugeMetricFamily, Metric
from prometheus_client.registry import Collector

from jobs.api.problems import not_found
from jobs.models import JournalEntry
from jobs.seal_log import SEALS
from jobs.services.verifying import last_verification
from reports.models import Dispatch, Document


def metrics(request: HttpRequest) -> HttpResponse:
    """For whoever sends the token of the environment; without one there is no such address."""
    if not settings.METRICS_TOKEN:
        return not_found(request, LookupError())
    sent = request.headers.get("Authorization", "")
    # As bytes, since a header may hold what is no ASCII.
    if not constant_time_compare(sent.encode(), f"Bearer {settings.METRICS_TOKEN}".encode()):
        return HttpResponse(status=401, headers={"WWW-Authenticate": "Bearer"})
    answer: HttpResponse = ExportToDjangoView(request)
    answer.write(generate_latest(_of_the_records))
    return answer


class RecordFigures(Collector):
    """What waits, has failed, or grows old."""

    def collect(self) -> Iterator[Metric]:
        yield _letters()
        yield from _papers()
        yield from _verification()
        yield _gauge(
            "oldest_unsealed_entry_seconds",
            "Age of the oldest entry of the journal that no seal covers; 0 where all are sealed.",
            _age_seconds(_oldest_unsealed()),
        )


def _letters() -> Metric:
    states = (Dispatch.State.WAITING, Dispatch.State.FAILED, Dispatch.State.BOUNCED)
    counted = dict(
        Dispatch.objects.filter(channel=Dispatch.Channel.EMAIL, state__in=states)
        .values_list("state")
        .annotate(Count("pk"))
    )
    family = GaugeMetricFamily(
        "sillwright_letters", "Letters that have not reached their customer.", labels=["state"]
    )
    for state in states:
        family.add_metric([state.value], counted.get(state.value, 0))
    return family


def _papers() -> Iterator[Metric]:
    being_made = Document.objects.current().filter(rendered_at=None)
    papers = being_made.aggregate(count=Count("pk"), oldest=Min("created_at"))
    yield _gauge("papers_being_made", "Papers that were asked for and not made.", papers["count"])
    yield _gauge(
        "oldest_paper_being_made_seconds",
        "Age of the oldest paper that was asked for and not made; 0 where none is.",
        _age_seconds(papers["oldest"]),
    )


def _verification() -> Iterator[Metric]:
    """Nothing before everything was compared for the first time."""
    last = last_verification()
    if last is None:
        return
    yield _gauge(
        "last_verification_timestamp_seconds",
        "When every record was last compared with the journal, in seconds since 1970.",
        last.made_at.timestamp(),
    )
    yield _gauge(
        "contradicting_records",
        "Records that were not what the journal says when they were last compared.",
        last.contradicting_records,
    )
    yield _gauge(
        "broken_chains",
        "Chains of the journal that did not hold when it was last verified.",
        last.broken_chains,
    )


def _oldest_unsealed() -> datetime | None:
    unsealed = JournalEntry.objects.filter(number__gt=F("stream__sealed_length"))
    oldest: datetime | None = unsealed.exclude(stream=SEALS).aggregate(oldest=Min("created_at"))[
        "oldest"
    ]
    return oldest


def _age_seconds(since: datetime | None) -> float:
    return (timezone.now() - since).total_seconds() if since else 0.0


def _gauge(name: str, description: str, value: float) -> Metric:
    return GaugeMetricFamily(f"sillwright_{name}", description, value=value)


_of_the_records = CollectorRegistry()
_of_the_records.register(RecordFigures())
