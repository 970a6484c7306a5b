"""Rows of the outline, stacked for many places at once."""

from collections.abc import Iterable
from functools import cache

import numpy as np
import numpy.typing as npt

from surveys.arithmetic.outline import SHAPE_COUNT, jamb_row, level_row

Numbers = npt.NDArray[np.float64]


def jamb_rows(shares: Iterable[float], right: bool) -> Numbers:
    """Rows of `jamb_row`, over the ten numbers of the shape alone."""
    return np.array([jamb_row(t, right)[:SHAPE_COUNT] for t in shares])


def level_rows(shares: Iterable[float], head: bool) -> Numbers:
    """Rows of `level_row`, over the ten numbers of the shape alone."""
    return np.array([level_row(t, head)[:SHAPE_COUNT] for t in shares])


@cache
def knot_rows() -> Numbers:
    """Rows of the three knots of each side, of shape (4, 3, 10): x of the left and the right jamb
    from the foot, y of the sill and the head from the left."""
    knots = (0.0, 0.5, 1.0)
    return np.array(
        [
            jamb_rows(knots, right=False),
            jamb_rows(knots, right=True),
            level_rows(knots, head=False),
            level_rows(knots, head=True),
        ]
    )
