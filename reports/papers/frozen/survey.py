"""What papers' records hold of surveys and of the fit decisions made from them; lengths in mm."""

from dataclasses import dataclass
from typing import Any

from msgspec import UNSET, UnsetType

from reports.papers.frozen.job import InstrumentFacts, PhotoFacts
from surveys.arithmetic.answers import (
    CriticalPlace,
    Knot,
    Method,
    ReadNext,
    Shape,
    Suspect,
    Uncertain,
    Verdict,
    WallKinds,
    WholeSize,
    WideJoint,
)
from surveys.arithmetic.placement import Clearance, JointRange, JointWidth, Placement


@dataclass(frozen=True, slots=True)
class DrawnInputs:
    """Of the inputs of a fit decision, what its drawing needs."""

    frame: WholeSize
    clearance: Clearance
    maximum_joint: float


@dataclass(frozen=True, slots=True)
class DrawnAnswer:
    """Of the answer of a fit decision, what its drawing needs."""

    placement: Placement
    outline: tuple[Knot, ...]
    joint_profile: tuple[JointWidth, ...]
    verdict: Verdict
    probability_fits: float


@dataclass(frozen=True, slots=True)
class DrawnFit:
    """How the frame stands in the opening, as `surveys.drawings.FittedOpening.read` takes it."""

    inputs: DrawnInputs
    answer: DrawnAnswer


@dataclass(frozen=True, slots=True)
class FindingFacts:
    """What was recorded about the place."""

    what: str
    caution: str
    source: str


@dataclass(frozen=True, slots=True)
class AdjustmentFacts:
    """How far the readings of an opening agree with each other."""

    chi_square: float
    degrees_of_freedom: int
    p_value: float


@dataclass(frozen=True, slots=True)
class SurveyReading:
    """`at` is the place along its member, None for a diagonal and a straightedge; `limit` is that
    of the normalised residual. What a straightedge or square reads is no sum of the sides: it has
    no residual, and no verdict of its own."""

    reading: str
    at: float | None
    value: float
    serial: str
    standard_uncertainty: float | None
    residual: float | None
    normalised_residual: float | None
    limit: float | None
    verdict: str | None


@dataclass(frozen=True, slots=True)
class FitFacts:
    """What was decided of a frame; `joints` by the name of the side. `method` is the picture of an
    opening that it was worked out by, and `walls` what it made of them; both are left out in papers
    from before they said it."""

    verdict: Verdict
    frame: WholeSize
    probability_fits: float
    confidence: float
    clear_width: Uncertain
    clear_height: Uncertain
    joints: dict[str, JointRange]
    method: Method | UnsetType = UNSET
    walls: dict[str, WallKinds] | UnsetType = UNSET


@dataclass(frozen=True, slots=True)
class SurveyFacts:
    """A survey with every reading; without a fit decision `fit` and `standing` are None."""

    stage: str
    taken_at: str
    surveyor: str
    instruments: tuple[InstrumentFacts, ...]
    consistent: bool
    adjustment: AdjustmentFacts
    readings: tuple[SurveyReading, ...]
    findings: tuple[FindingFacts, ...]
    fit: FitFacts | None
    standing: DrawnFit | None


@dataclass(frozen=True, slots=True)
class AssessedOpening:
    """Of the assessment of a survey, what a survey sheet says of the opening."""

    clear_width: Uncertain
    clear_height: Uncertain
    largest_frame: WholeSize
    shape: Shape
    outline: tuple[Knot, ...]
    cautions: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class SheetSurvey(SurveyFacts):
    """What a survey sheet says of a survey beyond what a certificate says. `conditions` are the
    surveyor's answers, by their names in the interface; `method` is the picture of an opening that
    the newest answer was worked out by, which asks for `read_next`."""

    accepted_at: str | None
    suspects: tuple[Suspect, ...]
    warnings: tuple[str, ...]
    assessment: AssessedOpening
    conditions: dict[str, Any]
    photos: tuple[PhotoFacts, ...]
    method: Method
    walls: dict[str, WallKinds]
    read_next: tuple[ReadNext, ...]
    critical_places: tuple[CriticalPlace, ...]
    surfaces: dict[str, str]
    higher_end: dict[str, str]
    wide_joints: tuple[WideJoint, ...]
