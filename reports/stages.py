"""How far a job has come, derived from its records; nothing is stored about it."""

from typing import Any

from django.db import models
from django.db.models import Case, CharField, Exists, OuterRef, Q, QuerySet, Subquery, Value, When

from installs.models import Handover, Inspection
from jobs.models import Delivery, Doorset, Job, Opening
from reports.models import Document
from surveys.models import Survey


class Stage(models.TextChoices):
    """In the order in which a job comes to them."""

    TAKEN_ON = "taken_on", "taken on"
    SURVEYED = "surveyed"
    ORDERED = "ordered"
    DELIVERED = "delivered"
    BEING_FITTED = "being_fitted", "being fitted"
    HANDED_OVER = "handed_over", "handed over"
    CERTIFIED = "certified"


def with_stage(jobs: QuerySet[Job]) -> QuerySet[Any]:
    """Each job with the furthest `stage` that its records show.

    Surveyed, ordered and delivered is a job only when all of its openings are; being fitted from
    the first step of a plan that is recorded.
    """
    furthest_first = (
        When(_certified(), then=Value(Stage.CERTIFIED)),
        When(_handed_over(), then=Value(Stage.HANDED_OVER)),
        When(_being_fitted(), then=Value(Stage.BEING_FITTED)),
        When(_every_opening(Exists(_delivered())), then=Value(Stage.DELIVERED)),
        When(_every_opening(Exists(_ordered())), then=Value(Stage.ORDERED)),
        When(_every_opening(Exists(_accepted_surveys())), then=Value(Stage.SURVEYED)),
    )
    stage = Case(*furthest_first, default=Value(Stage.TAKEN_ON), output_field=CharField())
    return jobs.annotate(stage=stage)


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
    """That a job has openings and this holds for each of them."""
    openings = Opening.objects.filter(job=OuterRef("pk"))
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
