"""What papers record of defects and concessions, of all fittings of a job."""

from collections.abc import Collection, Iterable
from typing import Any

from installs.models import Concession, Defect, Handover
from jobs.models import Job
from reports.papers.frozen.defects import ConcessionFacts, DefectFacts, EvidenceFacts
from reports.papers.plain import instant


def concession_records(job: Job) -> tuple[ConcessionFacts, ...]:
    """In the order in which they were granted."""
    return tuple(map(concession_record, concessions_of(job)))


def concessions_of(job: Job) -> Any:
    """In the order in which they were granted, joined for `concession_record`."""
    return _of_job(Concession, job).select_related("step", "defect", "accepted_by")


def defects_of(job: Job) -> Any:
    """Defects of a job in the order in which they were recorded, joined for `defect_record`."""
    people = ("found_by", "put_right_by", "reinspected_by")
    evidence = ("photo_before", "photo_after", "read_since")
    joined = _of_job(Defect, job).select_related("step", *people, *evidence)
    return joined.prefetch_related("concession_set")


def signed_for(handovers: Iterable[Handover]) -> set[str]:
    """Ids of defects that the customer accepted at these as still to come."""
    return {entry["defect"] for handover in handovers for entry in handover.to_come}


def defect_record(defect: Defect, signed: Collection[str]) -> DefectFacts:
    """What was recorded where and by whom, what was done about it, and its state; `signed` are
    those of `signed_for`."""
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
        evidence=_evidence(defect),
        to_come_by=defect.to_come_by.isoformat() if defect.to_come_by else None,
        to_come_promise=defect.to_come_promise,
        signed_for=str(defect.pk) in signed,
        found_after_handover=defect.found_after_id is not None,
    )


def _evidence(defect: Defect) -> EvidenceFacts | None:
    before, after = defect.photo_before, defect.photo_after
    if after is None:
        return None
    return EvidenceFacts(
        photo_before=before.sha256 if before else None,
        photo_after=after.sha256,
        read_since=instant(defect.read_since.created_at) if defect.read_since else None,
    )


def concession_record(concession: Concession) -> ConcessionFacts:
    """What was accepted where, in words, and by whom."""
    return ConcessionFacts(
        opening=concession.installation.doorset.opening.number,
        code=concession.code,
        place=concession.place,
        step=concession.step.number if concession.step else None,
        defect=concession.defect.description if concession.defect else None,
        asked=concession.asked,
        found=concession.found,
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
