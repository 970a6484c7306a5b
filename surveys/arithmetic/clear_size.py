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
from surveys.arithmetic.outline import (
    SHAPE_COUNT,
    Numbers,
    jamb_rows,
    level_rows,
    shares,
    size_of,
)

DRAWS = 2048
# Beyond it too few draws are left on the wrong side to tell a probability by.
GREATEST_CONFIDENCE = 0.99
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
        share = float(np.mean((self.widths >= width) & (self.heights >= height)))
        return min(max(share, 0.5 / DRAWS), 1 - 0.5 / DRAWS)


def draw_whole(adjustment: Adjustment) -> ClearSizes:
    """Clear width over the opening's whole height and clear height over its whole width."""
    width, height = size_of(adjustment.shape.tolist())
    return draw_clear_sizes(adjustment, Band(0.0, width, 0.0, height))


def draw_clear_sizes(adjustment: Adjustment, band: Band) -> ClearSizes:
    """Clear width over the band's height and clear height over its width, in every draw."""
    width, height = size_of(adjustment.shape.tolist())
    up = shares(band.bottom, band.top, height)
    along = shares(band.left, band.right, width)
    rows = np.vstack(
        [
            jamb_rows(up, right=False),
            jamb_rows(up, right=True),
            level_rows(along, head=False),
            level_rows(along, head=True),
        ]
    )
    spread = rows @ np.linalg.cholesky(adjustment.covariance)
    drawn = spread @ _draws()
    drawn += (rows @ adjustment.shape)[:, None]
    left, right, sill, head = drawn.reshape(4, 3, DRAWS)
    return ClearSizes(
        widths=right.min(axis=0) - left.max(axis=0),
        heights=head.min(axis=0) - sill.max(axis=0),
    )


@cache
def _draws() -> Numbers:
    """Independent standard normal draws, each with its opposite, so that their mean is exact."""
    half = np.random.default_rng(SEED).standard_normal((SHAPE_COUNT, DRAWS // 2))
    return np.hstack([half, -half])
