"""What the adjusted numbers of an opening say of it: its shape, its outline, how sure they are."""

import numpy as np

from surveys.arithmetic.adjustment import Adjustment
from surveys.arithmetic.answers import AdjustmentReport, Knot, Shape, Uncertain
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
