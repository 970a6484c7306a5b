"""The frozen record of a defect report: every defect of a job, and what was conceded."""

from collections.abc import Collection

from installs.models import Defect
from jobs.frozen import extended
from reports.models import Document
from reports.papers.defect_records import concession_records, defect_record, defects_of, signed_for
from reports.papers.frozen.defects import ReportedDefect
from reports.papers.frozen.papers import DefectReportRecord
from reports.papers.job_record import job_record
from reports.papers.photos import photo_facts
from reports.papers.plain import opening_facts


def defect_report_record(document: Document) -> DefectReportRecord:
    """The record of a defect report; a job without a defect has one too."""
    job = document.job
    signed = signed_for(job.handovers.all())
    defects = defects_of(job).prefetch_related("photos")
    return extended(
        DefectReportRecord,
        job_record(document),
        openings=tuple(map(opening_facts, job.openings.order_by("number"))),
        defects=tuple(_reported(defect, signed) for defect in defects),
        concessions=concession_records(job),
    )


def _reported(defect: Defect, signed: Collection[str]) -> ReportedDefect:
    return extended(
        ReportedDefect,
        defect_record(defect, signed),
        step_title=defect.step.title if defect.step else "",
        responsible=defect.get_responsible_display().lower(),
        photos=photo_facts(defect.photos.all()),
    )
