"""The frozen record of a defect report: every defect of a job, and what was conceded."""

from typing import Any

from reports.models import Document
from reports.papers.defect_records import concession_records, defect_record, defects_of
from reports.papers.job_record import job_record
from reports.papers.photos import photo_facts


def defect_report_record(document: Document) -> dict[str, Any]:
    """The record of a defect report; a job without a defect has one too."""
    job = document.job
    defects = defects_of(job).prefetch_related("photos")
    return job_record(document) | {
        "openings": [
            {"number": opening.number, "name": opening.name}
            for opening in job.openings.order_by("number")
        ],
        "defects": [
            defect_record(defect)
            | {
                "step_title": defect.step.title if defect.step else "",
                "responsible": defect.get_responsible_display().lower(),
                "photos": photo_facts(defect.photos.all()),
            }
            for defect in defects
        ],
        "concessions": concession_records(job),
    }
