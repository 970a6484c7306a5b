"""What papers record of defects and concessions, of all fittings of a job."""

from typing import Any

from installs.models import Concession, Defect
from jobs.models import Job
from reports.papers.frozen.defects import ConcessionFacts, DefectFacts
from reports.papers.plain import instant


def concession_records(job: Job) -> tuple[ConcessionFacts, ...]:
    """In the order in which they were granted."""
    granted = _of_job(Concession, job).select_related("step", "defect", "accepted_by")
    return tuple(map(_concession, granted))


def defects_of(job: Job) -> Any:
    """Defects of a job in the order in which they were recorded, joined for `defect_record`."""
    people = ("found_by", "put_right_by", "reinspected_by")
    return _of_job(Defect, job).select_related("step", *people).prefetch_related("concession_set")


def defect_record(defect: Defect) -> DefectFacts:
    """What was recorded where and by whom, what was done about it, and its state."""
    return DefectFacts(
        opening=defect.installation.doorset.opening.number,
        step=defect.step.number if defect.step else None,
        place=defect.place or "",
        severity=defect.severity,
        description=defect.description,
        found_by=defect.found_by.display_name,
        found_at=instant(defect.created_at),
        put_right_by=defect.put_right_by.display_name if defect.put_right_by else None,
        put_right_at=instant(defect.put_right_at),
        put_right_how=defect.put_right_how,
        reinspected_by=defect.reinspected_by.display_name if defect.reinspected_by else None,
        reinspected_at=instant(defect.reinspected_at),
        reinspection_note=defect.reinspection_note,
        closed_at=instant(defect.closed_at),
        conceded=bool(defect.concession_set.all()),
    )


def _concession(concession: Concession) -> ConcessionFacts:
    return ConcessionFacts(
        opening=concession.installation.doorset.opening.number,
        code=concession.code,
        place=concession.place,
        step=concession.step.number if concession.step else None,
        defect=concession.defect.description if concession.defect else None,
        reason=concession.reason,
        accepted_by=concession.accepted_by.display_name,
        accepted_at=instant(concession.created_at),
    )


def _of_job(model: Any, job: Job) -> Any:
    """Records of all fittings of a job, in the order in which they were made."""
    return (
        model.objects.filter(installation__doorset__opening__job=job)
        .select_related("installation__doorset__opening")
        .order_by("created_at", "id")
    )
