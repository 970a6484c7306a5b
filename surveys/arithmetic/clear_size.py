"""What is clear for a plumb and level frame, with its uncertainty.

A frame stands plumb and level whatever the wall does, so what counts is the widest plumb strip:
from the greatest x of the left jamb to the least x of the right one, over the frame's height;
likewise for the height. The greatest of several uncertain points is not the greatest of their
estimates: it is biased and skewed. So the adjusted outline is drawn many times from its own
distribution, always with the same draws, and the extremes are taken in each draw. That answers
every question about them (mean, deviation, quantile, probability) honestly and at once.
"""

from dataclasses import dataclass
from functools import cache

import numpy as np

from surveys.arithmetic.adjustment import Adjustment
from surveys.arithmetic.outline import SHAPE_COUNT, shares, size_of
from surveys.arithmetic.rows import Numbers, knot_rows

DRAWS = 2048
SEED = 20260105


@dataclass(frozen=True, slots=True)
class Band:
    """Where the frame stands in the opening, mm: its left, right, bottom and top edge."""

    left: float
    right: float
    bottom: float
    top: float


@dataclass(frozen=True, slots=True)
class ClearSizes:
    """Drawn clear widths and heights, mm, one pair per draw."""

    widths: Numbers
    heights: Numbers

    def probability(self, width: float, height: float) -> float:
        """That both at once are at least as large; never nearer to 0 or 1 than draws can tell."""
        held = np.count_nonzero((self.widths >= width) & (self.heights >= height))
        share = int(held) / DRAWS
        return min(max(share, 0.5 / DRAWS), 1 - 0.5 / DRAWS)


@dataclass(frozen=True, slots=True)
class DrawnOutline:
    """Three knots of each side in every draw, from the left or foot end: x of the `jambs` (left,
    right) and y of the `levels` (sill, head), each of shape (2, 3, draws); `size` in mm."""

    jambs: Numbers
    levels: Numbers
    size: tuple[float, float]

    def whole(self) -> ClearSizes:
        """Clear width over the whole height and clear height over the whole width."""
        return _between(self.jambs, self.levels)

    def within(self, band: Band) -> ClearSizes:
        """Clear width over the band's height and clear height over the band's width."""
        width, height = self.size
        return _between(
            _along(shares(band.bottom, band.top, height)) @ self.jambs,
            _along(shares(band.left, band.right, width)) @ self.levels,
        )


def draw_outline(adjustment: Adjustment) -> DrawnOutline:
    """The outline as it may be, given its readings."""
    rows = knot_rows().reshape(-1, SHAPE_COUNT)
    drawn = rows @ np.linalg.cholesky(adjustment.covariance) @ _draws()
    drawn += (rows @ adjustment.shape)[:, None]
    jambs, levels = drawn.reshape(2, 2, 3, DRAWS)
    return DrawnOutline(jambs, levels, size_of(adjustment.shape.tolist()))


def _between(jambs: Numbers, levels: Numbers) -> ClearSizes:
    return ClearSizes(
        widths=jambs[1].min(axis=0) - jambs[0].max(axis=0),
        heights=levels[1].min(axis=0) - levels[0].max(axis=0),
    )


def _along(places: tuple[float, float, float]) -> Numbers:
    """Weights of a side's three knots at each of the places, given as shares of the side."""
    return np.array([[max(0, 1 - 2 * t), 1 - abs(2 * t - 1), max(0, 2 * t - 1)] for t in places])


@cache
def _draws() -> Numbers:
    """Independent standard normal draws, each with its opposite, so that their mean is exact."""
    half = np.random.default_rng(SEED).standard_normal((SHAPE_COUNT, DRAWS // 2))
    return np.hstack([half, -half])
