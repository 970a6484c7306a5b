"""What papers' records hold; lengths in mm."""

from dataclasses import dataclass

from surveys.arithmetic.answers import Knot, Verdict, WholeSize
from surveys.arithmetic.placement import Clearance, JointWidth, Placement


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
