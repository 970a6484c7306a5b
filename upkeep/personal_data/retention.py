"""Why a customer may not be erased yet."""

from collections.abc import Iterator
from datetime import date

from django.conf import settings
from django.utils import timezone
from django.utils.translation import gettext as _

from installs.models import Handover
from jobs.figures import day
from jobs.models import Customer, Doorset, Job
from upkeep.personal_data.held import Held


def work_in_hand(customer: Customer) -> Iterator[str]:
    """Jobs on which something was ordered and nothing is handed over: the crew needs to know whom
    it works for, and the firm whom it owes a doorset. Nothing outweighs that."""
    for job in Held(customer).jobs:
        ordered = Doorset.objects.filter(opening__job=job, ordered_at__isnull=False)
        if _handover_of(job) is None and ordered.exists():
            yield _("{job} is ordered and not handed over").format(job=job.reference)


def kept_for_now(customer: Customer) -> Iterator[str]:
    """Jobs that are not done with, or whose time of retention is not over."""
    for job in Held(customer).jobs:
        handover = _handover_of(job)
        if handover is None:
            yield _("{job} is not handed over").format(job=job.reference)
        elif (until := retained_until(timezone.localdate(handover.created_at))) > _today():
            yield _("{job} is kept until {day}").format(job=job.reference, day=day(until))


def retained_until(handed_over: date) -> date:
    """The first day on which a job handed over that day need not be kept any more."""
    year = handed_over.year + settings.RETENTION_YEARS
    try:
        return handed_over.replace(year=year)
    except ValueError:
        return date(year, 3, 1)  # of a 29 February


def _handover_of(job: Job) -> Handover | None:
    return Handover.objects.filter(job=job).first()


def _today() -> date:
    return timezone.localdate()
