"""What is frozen of surveys and fit decisions; lengths in mm."""

from dataclasses import dataclass
from typing import Literal, Required, TypedDict

from msgspec import UNSET

from jobs.frozen import FrozenKind, Plain
from jobs.rules import BorrowedRules
from surveys.arithmetic.answers import Assessment, FitAnswer, WholeSize
from surveys.arithmetic.findings import Finding
from surveys.arithmetic.placement import Clearance
from surveys.arithmetic.readings import Opening, Surfaces


class Accuracy(TypedDict, total=False):
    """How good an instrument is, as `opening-fit` takes it: a tape by its class, the others by
    their expanded uncertainty, mm."""

    kind: Required[Literal["tape", "laser", "level", "gauge"]]
    accuracy_class: str
    from_end_hook: bool
    expanded_uncertainty: float
    coverage_factor: float


@dataclass(frozen=True, slots=True)
class InstrumentThen:
    """An instrument as it was when something was read with it; `calibration_due` as ISO 8601."""

    id: str
    name: str
    serial: str
    calibration_due: str
    in_calibration: bool
    accuracy: Accuracy


@dataclass(frozen=True, slots=True)
class MeasuredWith:
    """The instruments of a survey; without one for levels there are no readings of levels, without
    one for checks no size was read a second time. Without one for gaps, `instrument` read what
    stood off a straightedge or square."""

    instrument: InstrumentThen
    level_instrument: InstrumentThen | None
    check_instrument: InstrumentThen | None
    gap_instrument: InstrumentThen | None

    @property
    def accuracies(self) -> tuple[Accuracy, Accuracy | None]:
        level = self.level_instrument
        return self.instrument.accuracy, level.accuracy if level else None

    @property
    def check_accuracy(self) -> Accuracy | None:
        return self.check_instrument.accuracy if self.check_instrument else None

    def all(self) -> list[InstrumentThen]:
        """Each once."""
        used = (
            self.instrument,
            self.level_instrument,
            self.check_instrument,
            self.gap_instrument,
        )
        return list({instrument.id: instrument for instrument in used if instrument}.values())


@dataclass(frozen=True, slots=True)
class SurveyAssessment(Assessment):
    """What a survey says of its opening, with what its conditions call for."""

    rule_set: str
    measured_with: MeasuredWith
    findings: tuple[Finding, ...]
    rules_from_newer_sets: BorrowedRules = UNSET


@dataclass(frozen=True, slots=True)
class FitInputs:
    """The complete `opening-fit` request that a decision was made from; it gives the answer again.

    `maximum_joint` is the widest joint without a warning, `confidence` the probability asked for.
    """

    opening: Opening
    instrument: Accuracy
    level_instrument: Accuracy | None
    frame: WholeSize
    clearance: Clearance
    maximum_joint: float
    confidence: float
    rule_set: str
    surfaces: Surfaces
    check_instrument: Accuracy | None


@dataclass(frozen=True, slots=True)
class DecidedFit(FitAnswer):
    """The answer of `opening-fit`, with what the joint that it leaves calls for."""

    rule_set: str
    findings: tuple[Finding, ...]
    rules_from_newer_sets: BorrowedRules = UNSET


def _assessed_by_eight_points(assessment: Plain) -> Plain:
    """Format 1 was worked out by an outline of eight points with straight sides between them."""
    return {**assessment, "method": "eight_points", "walls": {}, "read_next": []}


def _with_two_instruments(assessment: Plain) -> Plain:
    """Up to format 2 no size was read a second time, and no straightedge was laid."""
    more = {"check_instrument": None, "gap_instrument": None}
    return {**assessment, "measured_with": more | assessment["measured_with"]}


def _decided_by_eight_points(answer: Plain) -> Plain:
    """Format 1 was decided by an outline of eight points with straight sides between them."""
    return {**_assessed_by_eight_points(answer), "critical_places": [], "wide_joints": []}


def _with_surfaces(inputs: Plain) -> Plain:
    """In format 1 nobody was asked what the walls are, nor for a second instrument."""
    sides = dict.fromkeys(("left", "right", "head", "sill"), "unknown")
    nothing: Plain = {"straightedge": [], "splay": [], "checks": {}, "higher_end": {}}
    opening = {**nothing, **inputs["opening"]}
    return {**inputs, "opening": opening, "surfaces": sides, "check_instrument": None}


INSTRUMENT_THEN = FrozenKind("instrument of a reading", InstrumentThen)
SURVEY_ASSESSMENT = FrozenKind(
    "assessment of a survey",
    SurveyAssessment,
    (_assessed_by_eight_points, _with_two_instruments),
)
FIT_INPUTS = FrozenKind("inputs of a fit decision", FitInputs, (_with_surfaces,))
DECIDED_FIT = FrozenKind("answer of a fit decision", DecidedFit, (_decided_by_eight_points,))
