"""The kinds of papers: how each is numbered, who may ask for it and when, and what it records."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from jobs.errors import Blocker
from jobs.models import Job, Person, Role, Visit
from reports.gates import certificate_gate, fitting_pack_gate, survey_sheet_gate
from reports.models import Document
from reports.papers.certificate_record import certificate_record
from reports.papers.defect_report_record import defect_report_record
from reports.papers.fitting_pack_record import fitting_pack_record
from reports.papers.survey_sheet_record import survey_sheet_record


@dataclass(frozen=True, slots=True)
class PaperKind:
    """`suffix` ends the number of such a paper, `gate_name` names its gate. The office asks for
    any; `asked_by` is the role that may ask too, for jobs with a visit of its own."""

    suffix: str
    gate_name: str
    asked_by: Role | None
    gate: Callable[[Job], list[Blocker]] | None
    record: Callable[[Document], dict[str, Any]]


KINDS: dict[str, PaperKind] = {
    Document.Kind.SURVEY_SHEET: PaperKind(
        "S", "survey_sheet", Role.SURVEYOR, survey_sheet_gate, survey_sheet_record
    ),
    Document.Kind.FITTING_PACK: PaperKind(
        "F", "fitting_pack", Role.FITTER, fitting_pack_gate, fitting_pack_record
    ),
    # A job without a defect has a report too: that there is none is worth knowing.
    Document.Kind.DEFECT_REPORT: PaperKind(
        "D", "defect_report", Role.FITTER, None, defect_report_record
    ),
    Document.Kind.COMPLETION_CERTIFICATE: PaperKind(
        "C", "certificate", None, certificate_gate, certificate_record
    ),
}


def may_ask(person: Person, kind: str, job: Job) -> bool:
    """Whether a person may ask for a paper of this kind of a job."""
    if person.acts_as(Role.OFFICE):
        return True
    role = KINDS[kind].asked_by
    if role is None or not person.acts_as(role):
        return False
    own = job.visits.not_cancelled().filter(people=person, kind__in=Visit.KINDS_OF_ROLE[role])
    return bool(own.exists())
