"""Parts of the answers of opening-fit: their field names are those of the interface; mm."""

from dataclasses import dataclass

import numpy as np

from surveys.arithmetic.adjustment import Adjustment, Residual
from surveys.arithmetic.outline import (
    BR_X,
    BR_Y,
    HEAD_BOW,
    LEFT_BOW,
    RIGHT_BOW,
    SILL_BOW,
    TL_X,
    TL_Y,
    TR_X,
    TR_Y,
)
from surveys.arithmetic.rows import Numbers


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
class AdjustmentReport:
    chi_square: float
    degrees_of_freedom: int
    p_value: float
    residuals: tuple[Residual, ...]


def uncertain(drawn: Numbers) -> Uncertain:
    mean = float(drawn.mean())
    off = drawn - mean
    # As numpy's `std`, which takes three times as long over so few numbers.
    return Uncertain(mean, float(np.sqrt(off @ off / len(off))))


def shape_of(adjustment: Adjustment) -> Shape:
    n = adjustment.shape.tolist()
    return Shape(
        sill_fall=n[BR_Y],
        head_fall=n[TR_Y] - n[TL_Y],
        left_lean=n[TL_X],
        right_lean=n[TR_X] - n[BR_X],
        left_bow=n[LEFT_BOW],
        right_bow=n[RIGHT_BOW],
        sill_bow=n[SILL_BOW],
        head_bow=n[HEAD_BOW],
    )


def outline_of(adjustment: Adjustment) -> tuple[Knot, ...]:
    """The eight knots, from the foot of the left jamb against the clock."""
    n = adjustment.shape.tolist()
    feet = {
        "bottom_left": (0.0, 0.0),
        "sill_middle": (n[BR_X] / 2, n[BR_Y] / 2 + n[SILL_BOW]),
        "bottom_right": (n[BR_X], n[BR_Y]),
        "right_middle": ((n[BR_X] + n[TR_X]) / 2 + n[RIGHT_BOW], (n[BR_Y] + n[TR_Y]) / 2),
        "top_right": (n[TR_X], n[TR_Y]),
        "head_middle": ((n[TL_X] + n[TR_X]) / 2, (n[TL_Y] + n[TR_Y]) / 2 + n[HEAD_BOW]),
        "top_left": (n[TL_X], n[TL_Y]),
        "left_middle": (n[TL_X] / 2 + n[LEFT_BOW], n[TL_Y] / 2),
    }
    return tuple(Knot(name, x, y) for name, (x, y) in feet.items())


def report_of(adjustment: Adjustment) -> AdjustmentReport:
    return AdjustmentReport(
        adjustment.chi_square,
        adjustment.degrees_of_freedom,
        adjustment.p_value,
        adjustment.residuals,
    )
