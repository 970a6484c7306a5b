"""What is clear for a plumb and level frame, over its whole depth, in each drawn opening.

A frame stands plumb and level whatever the wall does, so what counts is the widest plumb strip:
from the greatest x of the left jamb to the least x of the right one, over the frame's height, and
over both edges of the reveal; likewise for the height. The greatest of several uncertain points is
not the greatest of their estimates: it is biased and skewed. So the extremes are taken in each
drawn opening. That answers every question about them (mean, deviation, quantile, probability)
honestly and at once.
"""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from surveys.arithmetic.opening_draws import DRAWS
from surveys.arithmetic.rows import Drawn, Indices, Numbers
from surveys.arithmetic.side_prior import PLACES
from surveys.arithmetic.straightedge_draws import INWARD
from surveys.arithmetic.survey_rows import HEAD, LEFT, RIGHT, SILL
from surveys.arithmetic.walled_opening import WalledOpening


@dataclass(frozen=True, slots=True)
class Band:
    """Where the frame stands in the opening, mm: its left, right, bottom and top edge."""

    left: float
    right: float
    bottom: float
    top: float


@dataclass(frozen=True, slots=True)
class ClearSizes:
    """Of each drawn opening: how far each side stands in at its furthest, x of left and right jamb
    and y of head and sill, mm, (4, draws), and at which of the side's points; clear widths and
    heights, (2, draws); `weights` are those for widths and for heights, (2, draws). The walls
    across tell next to nothing of sill and head, so the two are taken as independent."""

    edges: Drawn
    points: Indices
    sizes: Drawn
    weights: Numbers

    def held(self, needed: tuple[float, float]) -> npt.NDArray[np.bool_]:
        """Whether this width and this height are clear, (2, draws)."""
        held: npt.NDArray[np.bool_] = self.sizes >= np.array(needed)[:, None]
        return held

    def probability(self, needed: tuple[float, float]) -> float:
        """That both at once are clear."""
        across, upward = (
            _within_what_draws_tell(float(weights @ held), weights)
            for weights, held in zip(self.weights, self.held(needed), strict=True)
        )
        return across * upward


def _within_what_draws_tell(share: float, weights: Numbers) -> float:
    least = 0.1 * float(weights @ weights)
    return min(max(share, least), 1 - least)


def quantile(drawn: Drawn, weights: Numbers, probability: float) -> float:
    """The value that drawn openings stay below with this probability."""
    order = np.argsort(drawn)
    below = np.searchsorted(np.cumsum(weights[order]), probability)
    return float(drawn[order[min(int(below), len(order) - 1)]])


def whole(opening: WalledOpening) -> ClearSizes:
    """Clear width over the whole height and clear height over the whole width."""
    return within(opening, Band(0.0, opening.width, 0.0, opening.height))


def within(opening: WalledOpening, band: Band) -> ClearSizes:
    """Clear width over the band's height and clear height over the band's width."""
    walls = opening.drawn
    upward = _stretch(band.bottom, band.top, opening.height)
    along = _stretch(band.left, band.right, opening.width)
    edges, points = np.empty((4, DRAWS), np.float32), np.empty((4, DRAWS), int)
    for side, stretch in enumerate((upward, upward, along, along)):
        inside = walls.furthest_in[side, stretch]
        points[side] = inside.argmax(axis=0)
        edges[side] = INWARD[side] * np.take_along_axis(inside, points[side][None], axis=0)[0]
        points[side] += stretch.start
    sizes = np.stack([edges[RIGHT] - edges[LEFT], edges[HEAD] - edges[SILL]])
    return ClearSizes(edges, points, sizes, walls.weights)


def _stretch(start: float, end: float, length: float) -> slice:
    """The points of a side between two places, mm, and those next to them."""
    steps = len(PLACES) - 1
    low = int(np.clip(np.floor(start / length * steps), 0, steps))
    high = int(np.clip(np.ceil(end / length * steps), low, steps))
    return slice(low, high + 1)
