"""What is still missing for a visit that is booked.

The gates of a job cost queries per opening, so they are asked once for each job that a fitting is
ahead of, however many visits it has; defects and tape are read for all return visits together.
"""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from uuid import UUID

from django.db.models import Q
from django.utils import timezone
from django.utils.translation import gettext as _

from installs.models import Defect, Inspection
from jobs.code_labels import code_label
from jobs.figures import day
from jobs.models import Job, Visit
from surveys.gates import order_gate, removal_gate


@dataclass(frozen=True, slots=True)
class Missing:
    """One thing that is to be done before a visit, or at a return visit."""

    what: str
    why: str


def missing_for(visits: Iterable[Visit]) -> dict[UUID, list[Missing]]:
    """By visit; nothing must come before a survey, and nothing is missing once a visit is over."""
    ahead = [visit for visit in visits if visit.end > timezone.now()]
    fittings = {v.job_id: v.job for v in ahead if v.kind == Visit.Kind.FITTING}
    before = {pk: _before_fitting(job) for pk, job in fittings.items()}
    to_return_for = _to_return_for({v.job_id for v in ahead if v.kind == Visit.Kind.RETURN})
    by_kind = {Visit.Kind.FITTING: before, Visit.Kind.RETURN: to_return_for}
    return {v.pk: by_kind.get(Visit.Kind(v.kind), {}).get(v.job_id, []) for v in ahead}


def _before_fitting(job: Job) -> list[Missing]:
    """What stands in the way of ordering and of taking the old door out, each once."""
    missing = {
        Missing(blocker.what, blocker.why): None
        for blocker in (*order_gate(job), *removal_gate(job))
        if not blocker.kind.condition.during_visit
    }
    return list(missing)


def _to_return_for(jobs: set[UUID]) -> dict[UUID, list[Missing]]:
    if not jobs:
        return {}
    missing_by_job: dict[UUID, list[Missing]] = defaultdict(list)
    for defect in _open_defects(jobs):
        missing = Missing(defect.description, _why_open(defect))
        missing_by_job[defect.installation.doorset.opening.job_id].append(missing)
    for left in _tape_left(jobs):
        opening = left.step.installation.doorset.opening
        what = _("take the protective tape off opening {number}").format(number=opening.number)
        why = _("it was left inside until {day}").format(day=day(left.return_on))
        missing_by_job[opening.job_id].append(Missing(what, why))
    return missing_by_job


def _why_open(defect: Defect) -> str:
    severity = code_label(defect.severity)
    if defect.put_right_at:
        return _("put right, to be inspected again: {severity}").format(severity=severity)
    return _("a defect is open: {severity}").format(severity=severity)


def _open_defects(jobs: set[UUID]) -> Iterable[Defect]:
    """Those of the doorsets fitted now that nobody accepted as they are."""
    accepted = Q(concession__isnull=False) & ~Q(severity=Defect.Severity.CRITICAL)
    return (
        Defect.objects.open()
        .filter(
            installation__doorset__superseded_at=None,
            installation__doorset__opening__job__in=jobs,
        )
        .exclude(accepted)
        .select_related("installation__doorset__opening")
        .order_by("created_at", "id")
    )


def _tape_left(jobs: set[UUID]) -> Iterable[Inspection]:
    """The newest record of the tape, where it says that somebody comes back for it."""
    return (
        Inspection.objects.left_for_return()
        .filter(
            step__installation__doorset__superseded_at=None,
            step__installation__doorset__opening__job__in=jobs,
        )
        .select_related("step__installation__doorset__opening")
        .order_by("return_on", "id")
    )
