"""A small job as its records have it; the gates of the service are not asked."""

from uuid import UUID

from django.db.models import QuerySet
from django.utils import timezone

from installs.models import (
    Concession,
    Defect,
    Handover,
    Inspection,
    JunctionGap,
    PlanStep,
    SitePhoto,
)
from tests.reports.small_job import SmallJob

PASS = Inspection.Outcome.PASS
MINOR = Defect.Severity.MINOR


def steps_of(job: SmallJob) -> QuerySet[PlanStep]:
    return PlanStep.objects.filter(installation=job.installation).order_by("number")


def newest_inspections(job: SmallJob) -> dict[UUID, Inspection]:
    """By their steps."""
    made = Inspection.objects.filter(step__installation=job.installation).select_related("step")
    return {inspection.step_id: inspection for inspection in made.order_by("created_at", "id")}


def short_places(inspection: Inspection) -> set[str]:
    """Where it fell short, and nobody has accepted that since."""
    if inspection.outcome == PASS:
        return set()
    granted = Concession.objects.filter(step=inspection.step)
    since = granted.filter(created_at__gte=inspection.created_at)
    return set(inspection.short_places) - set(since.values_list("place", flat=True))


def conceded(job: SmallJob) -> QuerySet[Concession]:
    return Concession.objects.filter(installation=job.installation)


def is_accepted(defect: Defect) -> bool:
    """By a concession of it alone, of the last place of the step whose failure opened it, or by
    whoever signed under it as still to come."""
    if defect.severity == MINOR and is_signed_for(defect):
        return True
    for concession in defect.concession_set.all():
        if defect.severity == MINOR and concession.code == "minor_defect":
            return True
        if defect.inspection_id and concession.step_id == defect.step_id:
            return True
    return False


def is_signed_for(defect: Defect) -> bool:
    """Named by a handover that its doorset was part of; before that, left to come by a day that is
    not over."""
    key = str(defect.installation_id)
    handovers = [one for one in Handover.objects.all() if key in one.keys]
    if handovers:
        return any(entry["defect"] == str(defect.pk) for one in handovers for entry in one.to_come)
    return defect.to_come_by is not None and defect.to_come_by >= timezone.localdate()


def newest_gaps(job: SmallJob) -> list[JunctionGap]:
    gaps = JunctionGap.objects.filter(installation=job.installation).order_by("created_at", "id")
    return list({gap.junction: gap for gap in gaps}.values())


def steps_not_shown(job: SmallJob) -> list[PlanStep]:
    """Recorded, and no picture shows them that was not sent for another step before."""
    shown: dict[str, object] = {}
    for photo in SitePhoto.objects.filter(step__isnull=False).order_by("created_at", "id"):
        shown.setdefault(photo.sha256, photo.step_id)
    accepted = set(conceded(job).filter(code="photo").values_list("place", flat=True))
    recorded = [inspection.step for inspection in newest_inspections(job).values()]
    return [
        step
        for step in recorded
        if "photo" in step.evidence and step.code not in accepted and step.pk not in shown.values()
    ]
