"""The outline of an opening: eight knots, described by ten numbers in mm.

Four corners and the middle of each side, sides straight between knots. The foot of the left jamb
is the origin; the ten numbers are the other three corners and how far each middle stands off the
line between its corners. Four more are the datums of the level and plumb lines that readings refer
to. A row gives a place of the outline as a linear function of all of them.
"""

from collections.abc import Sequence

# B(ottom), T(op), L(eft), R(ight) corners; offsets of the four middles; datums of the four lines.
BR_X, BR_Y, TR_X, TR_Y, TL_X, TL_Y = range(6)
SILL_BOW, HEAD_BOW, LEFT_BOW, RIGHT_BOW = range(6, 10)
SILL_DATUM, HEAD_DATUM, LEFT_DATUM, RIGHT_DATUM = range(10, 14)
SHAPE_COUNT, COUNT = 10, 14


def jamb_row(t: float, right: bool) -> list[float]:
    """Row that gives a jamb's x at share t of its height."""
    row = [0.0] * COUNT
    if right:
        row[BR_X], row[TR_X], row[RIGHT_BOW] = 1 - t, t, _middle(t)
    else:
        row[TL_X], row[LEFT_BOW] = t, _middle(t)
    return row


def level_row(t: float, head: bool) -> list[float]:
    """Row that gives the sill's or head's y at share t of the width."""
    row = [0.0] * COUNT
    if head:
        row[TL_Y], row[TR_Y], row[HEAD_BOW] = 1 - t, t, _middle(t)
    else:
        row[BR_Y], row[SILL_BOW] = t, _middle(t)
    return row


def jamb_x(shape: Sequence[float], t: float, right: bool) -> float:
    """A jamb's x at share t of its height."""
    if right:
        return shape[BR_X] * (1 - t) + shape[TR_X] * t + shape[RIGHT_BOW] * _middle(t)
    return shape[TL_X] * t + shape[LEFT_BOW] * _middle(t)


def level_y(shape: Sequence[float], t: float, head: bool) -> float:
    """The sill's or head's y at share t of the width."""
    if head:
        return shape[TL_Y] * (1 - t) + shape[TR_Y] * t + shape[HEAD_BOW] * _middle(t)
    return shape[BR_Y] * t + shape[SILL_BOW] * _middle(t)


def size_of(shape: Sequence[float]) -> tuple[float, float]:
    """Nominal width and height, mm: means of opposite corners."""
    width = (shape[BR_X] + shape[TR_X] - shape[TL_X]) / 2
    height = (shape[TL_Y] + shape[TR_Y] - shape[BR_Y]) / 2
    return width, height


def shares(start: float, end: float, size: float) -> tuple[float, float, float]:
    """Both ends of a stretch and the middle knot, as shares of the size; extremes lie there."""
    low, high = share(start, size), share(end, size)
    return low, min(max(0.5, low), high), high


def share(place: float, size: float) -> float:
    """A place as a share of the size, within the opening."""
    return min(max(place / size, 0.0), 1.0)


def _middle(t: float) -> float:
    """1 in the middle of a side, 0 at both ends: how far a middle's offset is felt at share t."""
    return 1 - abs(2 * t - 1)
