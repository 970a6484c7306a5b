"""What the handover page of a customer shows: their doorsets, and what is still to come.

Names of the firm's own people stay away from it; who to ask is the firm.
"""

from dataclasses import asdict
from datetime import date
from typing import Any

from django.db.models import QuerySet
from django.utils import timezone

from installs.models import Defect, Inspection, Installation
from installs.services.handing_over import current_installations
from jobs.arithmetic.fold import Fold
from jobs.elevations import drawn
from jobs.models import Job, Visit
from reports.instructions_for_use import closing_steps, opening_steps, threshold_in_words
from reports.models import Document
from surveys.models import Survey


def handover_shown(job: Job) -> dict[str, Any]:
    """For a job that has been handed over; the same number of queries however many doorsets."""
    defects = [_defect(one) for one in _open_defects(job)]
    return {
        "job": job,
        "handover": job.handover,
        "doorsets": [_doorset(one, job.handover.keys) for one in _installations(job)],
        "findings": _findings(job),
        "defects": defects,
        "awaited": any(one["sign"] == "waiting" for one in defects),
        "visits": _visits_to_come(job),
        "tape": _tape_until(job),
        "certificate": certificate_of(job),
    }


def certificate_of(job: Job) -> Document | None:
    """The certificate that stands, once it is made."""
    kind = Document.Kind.COMPLETION_CERTIFICATE
    return job.documents.kept().current().filter(kind=kind).first()


def _installations(job: Job) -> QuerySet[Installation]:
    joined = current_installations(job).select_related("doorset__profile_system")
    return joined.order_by("doorset__opening__number")


def _doorset(installation: Installation, keys: dict[str, int]) -> dict[str, Any]:
    doorset = installation.doorset
    fold = Fold(doorset.leaves, doorset.left_leaves, doorset.right_leaves)
    return {
        "opening": doorset.opening,
        "svg": drawn(doorset),
        "order": doorset,
        "to_open": opening_steps(fold, doorset.opens),
        "to_close": closing_steps(fold),
        "threshold": threshold_in_words(doorset.upstand),
        "keys": keys.get(str(installation.pk), 0),
    }


def _findings(job: Job) -> list[dict[str, str]]:
    """What the last survey of each opening found that people should know, such as a drop."""
    taken = Survey.objects.filter(opening__job=job, stage=Survey.Stage.BEFORE_REMOVAL)
    in_order = taken.select_related("opening").order_by("opening__number", "taken_at", "created_at")
    newest = {survey.opening_id: survey for survey in in_order}
    return [
        asdict(finding) | {"where": f"opening {survey.opening.number}"}
        for survey in newest.values()
        for finding in survey.assessment.findings
    ]


def _open_defects(job: Job) -> QuerySet[Defect]:
    of_job = Defect.objects.filter(installation__doorset__opening__job=job).open()
    joined = of_job.select_related("installation__doorset__opening")
    return joined.prefetch_related("concession_set").order_by("created_at", "id")


def _defect(defect: Defect) -> dict[str, Any]:
    conceded = bool(defect.concession_set.all())
    return {
        "where": f"Opening {defect.installation.doorset.opening.number}",
        "what": defect.description,
        "state": "accepted as it is" if conceded else _still_to_do(defect),
        "sign": "done" if conceded else "waiting",
    }


def _still_to_do(defect: Defect) -> str:
    return "put right, to be looked at once more" if defect.put_right_at else "to be put right"


def _visits_to_come(job: Job) -> QuerySet[Visit]:
    coming = job.visits.not_cancelled().filter(kind=Visit.Kind.RETURN, end__gte=timezone.now())
    return coming.order_by("start")


def _tape_until(job: Job) -> list[date]:
    """Days on which somebody comes for the protective tape that was left inside."""
    made = Inspection.objects.filter(step__installation__in=current_installations(job))
    return sorted({left.return_on for left in made.left_for_return() if left.return_on})
