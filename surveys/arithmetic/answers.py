"""Answers of opening-fit: their field names are those of the interface; mm."""

from dataclasses import dataclass
from typing import Literal

from surveys.arithmetic.placement import JointRange, JointWidth, MemberName, Placement
from surveys.arithmetic.readings import Side

Verdict = Literal["fits", "does_not_fit", "inconclusive"]
Method = Literal["eight_points", "walls"]
ReadingKind = Literal[
    "width", "height", "plumb", "level", "straightedge", "splay", "check", "higher_end", "diagonals"
]


@dataclass(frozen=True, slots=True)
class Residual:
    """`residual` is fitted less read, mm; `normalised` in standard deviations of itself."""

    reading: str
    value: float
    residual: float
    normalised: float
    redundancy: float


@dataclass(frozen=True, slots=True)
class Suspect:
    """A reading that could be to blame; `likely_value` is what the others say it should be, mm."""

    reading: str
    normalised_residual: float
    likely_value: float


@dataclass(frozen=True, slots=True)
class Uncertain:
    value: float
    standard_uncertainty: float


@dataclass(frozen=True, slots=True)
class WholeSize:
    """Whole mm."""

    width: int
    height: int


@dataclass(frozen=True, slots=True)
class Shape:
    """Falls and leans are top or right less foot or left; bows are the middle off its line."""

    sill_fall: float
    head_fall: float
    left_lean: float
    right_lean: float
    left_bow: float
    right_bow: float
    sill_bow: float
    head_bow: float


@dataclass(frozen=True, slots=True)
class Knot:
    name: str
    x: float
    y: float


@dataclass(frozen=True, slots=True)
class ReadNext:
    """A reading that would help to settle the verdict, `why`, and how probably it does so alone.

    `side` is that of a plumb, level, straightedge or splay reading, `all` for a splay of all four;
    `at` is the place of a width or height, mm.
    """

    kind: ReadingKind
    side: Side | Literal["all"] | None
    at: float | None
    why: str
    probability_settles: float


@dataclass(frozen=True, slots=True)
class CriticalPlace:
    """Where along a member the wall would touch first, mm from its left or foot end, and how
    probably it is there."""

    member: MemberName
    at: float
    probability: float


@dataclass(frozen=True, slots=True)
class JointChoice:
    """A way to seal a wide joint, what it does in words, its thickness, mm, and the least and
    greatest joint that it leaves to be sealed."""

    code: Literal["make_good", "larger_frame", "deeper_joint", "two_stage_seal"]
    what: str
    thickness: float
    joint_min: float
    joint_max: float


@dataclass(frozen=True, slots=True)
class WideJoint:
    """A joint beyond the greatest `allowed`, mm, and the choices there are."""

    member: MemberName
    min: float
    max: float
    allowed: float
    choices: tuple[JointChoice, ...]


@dataclass(frozen=True, slots=True)
class WallKinds:
    """How probably a side of the opening is a wall of each kind; they add up to 1."""

    straight: float
    coursed: float
    bulged: float
    bowed: float


@dataclass(frozen=True, slots=True)
class AdjustmentReport:
    chi_square: float
    degrees_of_freedom: int
    p_value: float
    residuals: tuple[Residual, ...]


@dataclass(frozen=True, slots=True)
class Assessment:
    """What a set of readings says about its opening, whatever frame is ordered for it.

    `method` names the picture of an opening that it was worked out by; `walls` by side.
    """

    contradictory: bool
    clear_width: Uncertain
    clear_height: Uncertain
    largest_frame: WholeSize
    shape: Shape
    outline: tuple[Knot, ...]
    suspect_readings: tuple[Suspect, ...]
    adjustment: AdjustmentReport
    sources: tuple[str, ...]
    cautions: tuple[str, ...]
    method: Method
    walls: dict[str, WallKinds]
    read_next: tuple[ReadNext, ...]


@dataclass(frozen=True, slots=True)
class FitAnswer:
    """`read_next` is empty once the verdict is settled, the best reading first otherwise."""

    verdict: Verdict
    probability_fits: float
    clear_width: Uncertain
    clear_height: Uncertain
    largest_frame: WholeSize
    placement: Placement
    joints: dict[str, JointRange]
    joint_profile: tuple[JointWidth, ...]
    shape: Shape
    outline: tuple[Knot, ...]
    suspect_readings: tuple[Suspect, ...]
    adjustment: AdjustmentReport
    warnings: tuple[str, ...]
    sources: tuple[str, ...]
    cautions: tuple[str, ...]
    method: Method
    walls: dict[str, WallKinds]
    read_next: tuple[ReadNext, ...]
    critical_places: tuple[CriticalPlace, ...]
    wide_joints: tuple[WideJoint, ...]
