"""A frame member as a slender beam over the places where it is packed; lengths in mm.

Between its supports a slender beam takes the shape of a natural cubic spline, and beyond the outer
two it runs on straight (Euler-Bernoulli beam without loads between its supports; see any text on
splines, such as de Boor, A Practical Guide to Splines, 1978, chapter IV).
"""

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

Array = npt.NDArray[np.float64]


def beam_weights(supports: Sequence[float], places: Sequence[float]) -> Array:
    """One row per place, one column per support: how far the beam moves at the place, mm, where
    that support alone moves by 1 mm. `supports` ascend; a single one carries a straight member
    that stays parallel."""
    p = np.asarray(supports, dtype=float)
    if len(p) == 1:
        return np.ones((len(places), 1))
    curvature = _curvatures(p)
    return np.array([_row(p, curvature, float(place)) for place in places])


def _curvatures(p: Array) -> Array:
    """Second derivatives at the supports, by the movement of each: 0 at the outer two."""
    count, h = len(p), np.diff(p)
    left, right = np.eye(count), np.zeros((count, count))
    for i in range(1, count - 1):
        left[i, i - 1 : i + 2] = h[i - 1] / 6, (h[i - 1] + h[i]) / 3, h[i] / 6
        right[i, i - 1 : i + 2] = 1 / h[i - 1], -1 / h[i - 1] - 1 / h[i], 1 / h[i]
    return np.asarray(np.linalg.solve(left, right))


def _row(p: Array, curvature: Array, place: float) -> Array:
    unit, h = np.eye(len(p)), np.diff(p)
    if place < p[0]:
        slope = (unit[1] - unit[0]) / h[0] - h[0] / 6 * curvature[1]
        return np.asarray(unit[0] + slope * (place - p[0]))
    if place > p[-1]:
        slope = (unit[-1] - unit[-2]) / h[-1] + h[-1] / 6 * curvature[-2]
        return np.asarray(unit[-1] + slope * (place - p[-1]))
    i = min(int(np.searchsorted(p, place, side="right")) - 1, len(p) - 2)
    after = (place - p[i]) / h[i]
    before = 1 - after
    bend = (before**3 - before) * curvature[i] + (after**3 - after) * curvature[i + 1]
    return np.asarray(before * unit[i] + after * unit[i + 1] + bend * h[i] ** 2 / 6)
