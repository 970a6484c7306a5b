"""How far a job has come, derived from its records; nothing is stored about it."""

from collections.abc import Sequence
from typing import Any

from django.db import models
from django.db.models import Case, CharField, Exists, OuterRef, Q, QuerySet, Subquery, Value, When
from django.utils.translation import gettext_lazy as _

from installs.models import Handover, Inspection
from jobs.models import Delivery, Doorset, Job, Opening
from reports.models import Document
from surveys.models import Survey


class Stage(models.TextChoices):
    """In the order in which a job comes to them."""

    TAKEN_ON = "taken_on", _("taken on")
    SURVEYED = "surveyed", _("surveyed")
    ORDERED = "ordered", _("ordered")
    DELIVERED = "delivered", _("delivered")
    BEING_FITTED = "being_fitted", _("being fitted")
    HANDED_OVER = "handed_over", _("handed over")
    CERTIFIED = "certified", _("certified")


def with_stage(jobs: QuerySet[Job]) -> QuerySet[Any]:
    """Each job with the furthest `stage` that its records show.

    Surveyed, ordered and delivered is a job only when all of its openings are; being fitted from
    the first step of a plan that is recorded.
    """
    cases = [When(condition, then=Value(stage)) for stage, condition in _furthest_first().items()]
    stage = Case(*cases, default=Value(Stage.TAKEN_ON), output_field=CharField())
    return jobs.annotate(stage=stage)


def with_their_stages(jobs: Sequence[Job]) -> Sequence[Any]:
    """The same jobs, of one page of a list, each with its `stage`.

    Asked for those alone: among all the jobs of a list a database reads every record of the firm
    before it gives the first page.
    """
    staged = with_stage(Job.objects.filter(pk__in=[job.pk for job in jobs])).values_list(
        "pk", "stage"
    )
    stages = dict(staged.order_by())
    for job in jobs:
        job.stage = stages[job.pk]  # type: ignore[attr-defined]  # as the annotation gives it
    return jobs


def at_stage(jobs: QuerySet[Job], wanted: str) -> QuerySet[Job]:
    """Those whose furthest stage is this one, told so that a database can join rather than try."""
    for stage, condition in _furthest_first().items():
        if stage == wanted:
            return jobs.filter(condition)
        jobs = jobs.filter(~condition)
    return jobs


def _furthest_first() -> dict[Stage, Exists | Q]:
    """What shows that a job has come to a stage; at none of these it is only taken on."""
    return {
        Stage.CERTIFIED: _certified(),
        Stage.HANDED_OVER: _handed_over(),
        Stage.BEING_FITTED: _being_fitted(),
        Stage.DELIVERED: _every_opening(Exists(_delivered())),
        Stage.ORDERED: _every_opening(Exists(_ordered())),
        Stage.SURVEYED: _every_opening(Exists(_accepted_surveys())),
    }


def _certified() -> Exists:
    certificates = (
        Document.objects.current().made().filter(kind=Document.Kind.COMPLETION_CERTIFICATE)
    )
    return Exists(certificates.filter(job=OuterRef("pk")))


def _handed_over() -> Exists:
    return Exists(Handover.objects.filter(job=OuterRef("pk")))


def _being_fitted() -> Exists:
    recorded = Inspection.objects.filter(step__installation__doorset__superseded_at=None)
    return Exists(recorded.filter(step__installation__doorset__opening__job=OuterRef("pk")))


def _every_opening(holds: Exists) -> Q:
    """That a job has openings and this holds for each of them, save what is left out."""
    openings = Opening.objects.wanted().filter(job=OuterRef("pk"))
    return Q(Exists(openings)) & ~Q(Exists(openings.filter(~holds)))


def _ordered() -> QuerySet[Doorset]:
    return Doorset.objects.current().filter(opening=OuterRef("pk"), ordered_at__isnull=False)


def _delivered() -> QuerySet[Doorset]:
    """What was sent back and replaced is there by its newest delivery, or not at all."""
    newest = Delivery.objects.filter(doorset=OuterRef("pk")).order_by("-created_at", "-id")
    came_well = Subquery(newest.values("accepted")[:1])
    return _ordered().annotate(came_well=came_well).filter(came_well=True)


def _accepted_surveys() -> QuerySet[Survey]:
    return Survey.objects.filter(
        opening=OuterRef("pk"), stage=Survey.Stage.FIRST, accepted_at__isnull=False
    )
