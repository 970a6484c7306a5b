"""The whole record of each kind of paper."""

from dataclasses import dataclass

from msgspec import UNSET, UnsetType

from installs.arithmetic.criteria import Criterion, UsableInstrument
from jobs.arithmetic.doorset import Finding
from jobs.drawings import Elevation
from jobs.frozen import Plain
from reports.papers.frozen.defects import (
    ConcessionFacts,
    DefectFacts,
    ReportedDefect,
    without_evidence_and_words,
)
from reports.papers.frozen.doorset import DeliveryFacts, FittedDoorset, OrderFacts
from reports.papers.frozen.job import InstrumentFacts, OpeningFacts, PaperRecord
from reports.papers.frozen.survey import SheetSurvey
from surveys.arithmetic import findings
from surveys.plan_drawing import DrawnPlan


@dataclass(frozen=True, slots=True)
class DefectReportRecord(PaperRecord):
    openings: tuple[OpeningFacts, ...]
    defects: tuple[ReportedDefect, ...]
    concessions: tuple[ConcessionFacts, ...]


@dataclass(frozen=True, slots=True)
class SurveyedOpening:
    opening: OpeningFacts
    surveys: tuple[SheetSurvey, ...]


@dataclass(frozen=True, slots=True)
class SurveySheetRecord(PaperRecord):
    openings: tuple[SurveyedOpening, ...]
    instruments: tuple[InstrumentFacts, ...]


def by_eight_points(sheet: Plain) -> Plain:
    """Format 1 of a survey sheet knew no walls: every answer came from eight points."""
    nothing: Plain = {
        "method": "eight_points",
        "walls": {},
        "read_next": [],
        "critical_places": [],
        "surfaces": {},
        "higher_end": {},
    }
    openings = [
        one | {"surveys": [nothing | survey for survey in one["surveys"]]}
        for one in sheet["openings"]
    ]
    return sheet | {"openings": openings}


def without_wide_joints(sheet: Plain) -> Plain:
    """Up to format 2 a survey sheet gave no choices for a joint that is too wide to be sealed."""
    openings = [
        one | {"surveys": [{"wide_joints": []} | survey for survey in one["surveys"]]}
        for one in sheet["openings"]
    ]
    return sheet | {"openings": openings}


@dataclass(frozen=True, slots=True)
class VisitFacts:
    start: str
    end: str
    people: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class NamedCriterion(Criterion):
    """What decides a step, with the name of what is judged."""

    name: str


@dataclass(frozen=True, slots=True)
class StepFacts:
    """`checks` are what is looked at, in words; `usable_instruments` what can read it,
    left out where nothing is read and in packs from before it was said."""

    number: int
    code: str
    title: str
    phase: str
    hold_point: bool
    evidence: tuple[str, ...]
    caution: str
    criteria: tuple[NamedCriterion, ...]
    checks: tuple[str, ...]
    usable_instruments: tuple[UsableInstrument, ...] | UnsetType = UNSET


@dataclass(frozen=True, slots=True)
class PlannedInstallation:
    """`plan` is stored with the number of its own format: `installs.frozen.FITTING_PLAN` reads
    it. `planned_from` is the stage of the survey that packers and fixings follow from, None where
    none was decided from or nobody wrote it down."""

    opening: OpeningFacts
    order: OrderFacts
    upstand: Finding | None
    delivery: DeliveryFacts | None
    elevation: Elevation
    visit: VisitFacts
    findings: tuple[findings.Finding, ...]
    replanned_because: str
    planned_from: str | None
    plan: Plain
    steps: tuple[StepFacts, ...]
    seen_from_above: DrawnPlan | None


@dataclass(frozen=True, slots=True)
class FittingPackRecord(PaperRecord):
    installations: tuple[PlannedInstallation, ...]


def without_stage_planned_from(pack: Plain) -> Plain:
    """Format 1 of a fitting pack is from before an opening was measured with the old door out."""
    installations = [{"planned_from": None, **one} for one in pack["installations"]]
    return pack | {"installations": installations}


def without_plan_view(pack: Plain) -> Plain:
    """Format 2 of a fitting pack did not say where leaves stand and what they sweep."""
    installations = [{"seen_from_above": None, **one} for one in pack["installations"]]
    return pack | {"installations": installations}


@dataclass(frozen=True, slots=True)
class KeyFacts:
    """How many keys of an opening were handed over."""

    opening: int | None
    count: int


@dataclass(frozen=True, slots=True)
class ToComeFacts:
    """A minor defect as it stood above the signature; `until` in ISO 8601."""

    defect: str
    opening: int
    what: str
    promise: str
    until: str


@dataclass(frozen=True, slots=True)
class HandoverFacts:
    """`signature` as strokes, each of points x and y, y downwards; none after an erasure.
    `unsigned_because` says why there was none; empty, too, where nobody was asked. `notify_by`:
    until when building control is told, None where it is not; left out in papers from before it was
    worked out."""

    made_at: str
    customer_name: str
    signature: tuple[tuple[tuple[float, float], ...], ...]
    fitter: str
    demonstrated: bool
    care_given: bool
    keys: tuple[KeyFacts, ...]
    unsigned_because: str
    to_come: tuple[ToComeFacts, ...]
    notify_by: str | UnsetType | None = UNSET


def without_reason_unsigned(certificate: Plain) -> Plain:
    """Up to format 4 a certificate did not say why nobody had signed the handover."""
    handover = {"unsigned_because": "", **certificate["handover"]}
    return without_places_conceded(certificate | {"handover": handover})


def without_places_conceded(paper: Plain) -> Plain:
    """Concessions of these formats went for all that a step, or the code of a blocker, was about:
    they name no place."""
    return paper | {"concessions": [{"place": "", **one} for one in paper["concessions"]]}


def without_what_is_to_come(certificate: Plain) -> Plain:
    """Up to format 6 nothing was handed over as still to come, and what failed a step beside its
    readings and checks was said by its defect alone, and who helped to lift by nobody."""
    doorsets = [
        one
        | {
            "inspections": [
                {"shortfalls": [], "lifted_with": ""} | made for made in one["inspections"]
            ]
        }
        for one in certificate["doorsets"]
    ]
    handover = {"to_come": [], **certificate["handover"]}
    upgraded = certificate | {"doorsets": doorsets, "handover": handover}
    return without_evidence_and_words(upgraded)


@dataclass(frozen=True, slots=True)
class CertificateRecord(PaperRecord):
    handover: HandoverFacts
    doorsets: tuple[FittedDoorset, ...]
    concessions: tuple[ConcessionFacts, ...]
    defects: tuple[DefectFacts, ...]
    instruments: tuple[InstrumentFacts, ...]
