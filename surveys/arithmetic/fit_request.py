"""What opening-fit is asked."""

from dataclasses import dataclass

from surveys.arithmetic.placement import Clearance, Frame
from surveys.arithmetic.readings import Measurement

LEAST_CONFIDENCE = 0.5
# Beyond it too few drawn outlines are left on the wrong side to tell a probability by.
GREATEST_CONFIDENCE = 0.99


@dataclass(frozen=True, slots=True)
class FitRequest:
    """Lengths in mm; `maximum_joint` is the widest joint without a warning, `confidence` the
    probability that is asked for."""

    measurement: Measurement
    frame: Frame
    clearance: Clearance
    maximum_joint: float
    confidence: float
