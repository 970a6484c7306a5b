"""What opening-fit is asked."""

from dataclasses import dataclass

from surveys.arithmetic.placement import Clearance, Frame
from surveys.arithmetic.readings import Measurement


@dataclass(frozen=True, slots=True)
class FitRequest:
    """Lengths in mm; `maximum_joint` is the widest joint without a warning, `confidence` the
    probability that is asked for."""

    measurement: Measurement
    frame: Frame
    clearance: Clearance
    maximum_joint: float
    confidence: float
