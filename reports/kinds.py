"""The kinds of papers: how each is numbered, who may ask for it and when, and what it records."""

from collections.abc import Callable
from dataclasses import dataclass

from jobs.capabilities import Capability, roles_with, visit_kinds_of
from jobs.errors import Blocker
from jobs.models import Job, Person
from reports.gates import certificate_gate, fitting_pack_gate, survey_sheet_gate
from reports.models import Document
from reports.papers.certificate_record import certificate_record
from reports.papers.defect_report_record import defect_report_record
from reports.papers.fitting_pack_record import fitting_pack_record
from reports.papers.frozen.job import PaperRecord
from reports.papers.survey_sheet_record import survey_sheet_record


@dataclass(frozen=True, slots=True)
class PaperKind:
    """`suffix` ends the number of such a paper, `gate_name` names its gate; `capability` is what
    asking for one takes."""

    suffix: str
    gate_name: str
    capability: Capability
    gate: Callable[[Job], list[Blocker]] | None
    record: Callable[[Document], PaperRecord]


KINDS: dict[str, PaperKind] = {
    Document.Kind.SURVEY_SHEET: PaperKind(
        "S", "survey_sheet", Capability.ISSUE_SURVEY_SHEET, survey_sheet_gate, survey_sheet_record
    ),
    Document.Kind.FITTING_PACK: PaperKind(
        "F", "fitting_pack", Capability.ISSUE_FITTING_PAPERS, fitting_pack_gate, fitting_pack_record
    ),
    # A job without a defect has a report too: that there is none is worth knowing.
    Document.Kind.DEFECT_REPORT: PaperKind(
        "D", "defect_report", Capability.ISSUE_FITTING_PAPERS, None, defect_report_record
    ),
    Document.Kind.COMPLETION_CERTIFICATE: PaperKind(
        "C", "certificate", Capability.ISSUE_PAPERS, certificate_gate, certificate_record
    ),
}


def may_ask(person: Person, kind: str, job: Job) -> bool:
    """Whether a person may ask for a paper of this kind: of any job that whoever sees every job
    asks about, else of one with an own visit that a role with the capability makes."""
    capability = KINDS[kind].capability
    if not person.has_capability(capability):
        return False
    if person.has_capability(Capability.SEE_EVERY_JOB):
        return True
    kinds = visit_kinds_of(person.acting_roles.intersection(roles_with(capability)))
    return bool(job.visits.not_cancelled().filter(people=person, kind__in=kinds).exists())
