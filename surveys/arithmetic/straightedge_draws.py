"""What straightedge readings say of drawn openings.

A straightedge reads how far the wall's highest point stands beyond the line through its ends. Which
point that is, is not known, so it is drawn: each in proportion to how probable the reading is were
it that one. The opening is then conditioned on the reading there, and its weight makes up for the
other points being as high or higher. The proposal is the mixture over all points, so that a weight
is never more than the probability of the reading.
"""

from dataclasses import dataclass
from functools import cache
from math import sqrt

import numpy as np

from surveys.arithmetic.opening_draws import EACH, SETS, Components, single
from surveys.arithmetic.opening_prior import OpeningPrior
from surveys.arithmetic.readings import SIDES, Straightedge
from surveys.arithmetic.rows import Drawn, Indices, Numbers
from surveys.arithmetic.side_prior import POINTS, off_chord
from surveys.arithmetic.wall_mixture import STRAIGHTEDGE_DEVIATION, WallMixture

SEED = 20260107
SMALLEST = 1e-300
# So many draws of equal weight the weighted ones must be worth.
FEWEST_DRAWS, TEMPERED = 40.0, 0.8
# Into the opening: x to the right at the left jamb, to the left at the right one; y down at the
# head, up at the sill.
INWARD = np.array([1.0, -1.0, -1.0, 1.0])


@dataclass(frozen=True, slots=True)
class _Read:
    """The mean of a side's straightedge readings, mm, and its variance, mm2."""

    side: int
    hump: float
    variance: float


@dataclass(frozen=True, slots=True)
class _Chosen:
    """A point that was chosen in each draw as the highest of its side. `profiles` and `heights` are
    the covariances of the pair's profiles and of the heights of all points with its height,
    (sets, each, ...), `variance` that of its reading, and `off` by how much that is off what was
    expected of it, over the variance, (sets, each, 1)."""

    points: Indices
    profiles: Drawn
    heights: Drawn
    variance: Drawn
    off: Drawn


@dataclass(frozen=True, slots=True)
class _Expected:
    """Of the heights of all points of the sides that were laid off, in each set: their mean, their
    covariance with the pair's profiles, (sets, heights, profiles), and with each other."""

    mean: Drawn
    profiles: Drawn
    heights: Drawn


def condition_on_straightedges(
    prior: OpeningPrior,
    parts: Components,
    mixture: WallMixture,
    drawn: Drawn,
    readings: tuple[Straightedge, ...],
) -> tuple[Drawn, Numbers]:
    """The drawn profiles put right, (sets, 4, points, each), and their weights for the clear width
    and for the clear height, (2, sets, each): the walls across tell next to nothing of the others.
    """
    drawn = drawn.reshape(SETS, len(SIDES), POINTS, EACH)
    weights = np.full((2, SETS, EACH), 1.0 / (SETS * EACH))
    for direction, pair in enumerate(((0, 1), (2, 3))):
        read = [one for side in pair if (one := _read(side, readings)) is not None]
        if read:
            stretch = slice(pair[0], pair[1] + 1)
            drawn[:, stretch], weights[direction] = _conditioned(
                prior, parts, mixture, drawn[:, stretch], read
            )
    return drawn, weights


def _read(side: int, readings: tuple[Straightedge, ...]) -> _Read | None:
    humps = [reading.hump for reading in readings if reading.side == SIDES[side]]
    if not humps:
        return None
    return _Read(side, sum(humps) / len(humps), STRAIGHTEDGE_DEVIATION**2 / len(humps))


def _conditioned(
    prior: OpeningPrior,
    parts: Components,
    mixture: WallMixture,
    drawn: Drawn,
    read: list[_Read],
) -> tuple[Drawn, Numbers]:
    """Of one pair of opposite sides."""
    pair = 2 * (read[0].side // 2)
    expected = _expected(prior, parts, read, pair)
    profiles: Drawn = drawn.transpose(0, 3, 1, 2).reshape(SETS, EACH, 2 * POINTS)
    logarithms: Numbers = np.zeros((SETS, EACH))
    earlier: _Chosen | None = None
    for index, one in enumerate(read):
        likelihood = _likelihood(expected, one, index, earlier)
        points = _drawn_points(likelihood, one.side) + index * POINTS
        logarithms += np.log(likelihood.sum(axis=-1, dtype=np.float64) + SMALLEST)
        chosen = _chosen(expected, one, points, earlier)
        heights = _heights(profiles, one, pair)
        at = np.take_along_axis(heights, points[..., None] - index * POINTS, axis=-1)
        noise = sqrt(one.variance) * _noise(one.side)
        profiles += chosen.profiles * ((one.hump - at - noise) / chosen.variance)
        earlier = chosen
    for one in read:
        logarithms += _made_up(_heights(profiles, one, pair), one)
        logarithms -= np.log(mixture.humps[one.side, parts.kinds[:, one.side]])[:, None]
    weights = _weights(logarithms)
    conditioned = profiles.reshape(SETS, EACH, 2, POINTS).transpose(0, 2, 3, 1)
    return conditioned, weights


def _weights(logarithms: Numbers) -> Numbers:
    """That add up to 1. Readings that no drawn opening agrees with leave a few draws with all the
    weight; these say nothing of what is uncertain, so the readings then count for less."""
    weights = np.exp(logarithms - logarithms.max())
    while weights.sum() ** 2 < FEWEST_DRAWS * (weights**2).sum():
        logarithms = logarithms * TEMPERED
        weights = np.exp(logarithms - logarithms.max())
    summed: Numbers = weights / weights.sum()
    return summed


def _expected(prior: OpeningPrior, parts: Components, read: list[_Read], pair: int) -> _Expected:
    sets, kinds = len(parts.different), parts.different
    gains = parts.gain.reshape(sets, len(SIDES), POINTS, -1)[:, pair : pair + 2]
    gain = single(gains.reshape(sets, 2 * POINTS, -1))
    cross = parts.cross.reshape(sets, len(SIDES), POINTS, -1)
    values, count = single(prior.rows.values), len(read) * POINTS
    profiles = np.zeros((sets, count, 2 * POINTS), np.float32)
    heights = np.empty((sets, count, count), np.float32)
    seen, mean = np.empty((sets, count, len(values)), np.float32), np.empty((sets, count))
    for index, one in enumerate(read):
        rows = single(INWARD[one.side] * off_chord())
        of_read, of_pair = _stretch(index), _stretch(one.side - pair)
        across = single(prior.sides[one.side].across)[kinds[:, one.side]]
        profiles[:, of_read, of_pair] = INWARD[one.side] * across.swapaxes(1, 2)
        seen[:, of_read] = rows @ single(cross[:, one.side])
        mean[:, of_read] = (gain[:, of_pair] @ values) @ rows.T
    profiles -= seen @ gain.swapaxes(1, 2)
    for index, one in enumerate(read):
        rows = single(INWARD[one.side] * off_chord())
        heights[..., _stretch(index)] = profiles[..., _stretch(one.side - pair)] @ rows.T
    which = parts.which
    return _Expected(single(mean)[which], profiles[which], heights[which])


def _likelihood(expected: _Expected, read: _Read, index: int, earlier: _Chosen | None) -> Drawn:
    """Of the reading, were each point of the side the highest one."""
    stretch = _stretch(index)
    mean: Drawn = expected.mean[:, None, stretch]
    variance: Drawn = np.diagonal(expected.heights, axis1=1, axis2=2)[:, None, stretch]
    if earlier is not None:
        told = earlier.heights[..., stretch]
        mean = mean + told * earlier.off
        variance = single(variance - told**2 / earlier.variance)
    total = single(np.maximum(variance, 0.0) + read.variance)
    likelihood: Drawn = np.exp(-0.5 * (read.hump - mean) ** 2 / total) / np.sqrt(total)
    return likelihood


def _drawn_points(likelihood: Drawn, side: int) -> Indices:
    summed = np.cumsum(likelihood, axis=-1)
    level = _uniforms(side) * summed[..., -1]
    points: Indices = (summed < level[..., None]).sum(axis=-1)
    return np.minimum(points, POINTS - 1)


def _chosen(expected: _Expected, read: _Read, points: Indices, earlier: _Chosen | None) -> _Chosen:
    sets = np.arange(SETS)[:, None]
    profiles = expected.profiles[sets, points]
    heights = expected.heights[sets, points]
    mean = np.take_along_axis(expected.mean, points, axis=1)[..., None]
    if earlier is not None:
        told = np.take_along_axis(earlier.heights, points[..., None], axis=-1)
        profiles = profiles - earlier.profiles * (told / earlier.variance)
        heights = heights - earlier.heights * (told / earlier.variance)
        mean = mean + told * earlier.off
    variance = np.take_along_axis(heights, points[..., None], axis=-1) + read.variance
    return _Chosen(points, profiles, heights, variance, (read.hump - mean) / variance)


def _heights(profiles: Drawn, read: _Read, pair: int) -> Drawn:
    """How far each point of a side stands off the line through its ends, (sets, each, points)."""
    rows = single(INWARD[read.side] * off_chord().T)
    heights: Drawn = profiles[..., _stretch(read.side - pair)] @ rows
    return heights


def _made_up(heights: Drawn, read: _Read) -> Numbers:
    """Logarithm of how probable the reading is of the highest point, over its sum over all."""
    off = -0.5 * (heights - read.hump) ** 2 / read.variance
    best = off.max(axis=-1)
    summed = np.log(np.exp(off - best[..., None]).sum(axis=-1)) + best
    made_up: Numbers = -0.5 * (heights.max(axis=-1) - read.hump) ** 2 / read.variance - summed
    return made_up


def _stretch(index: int) -> slice:
    return slice(index * POINTS, (index + 1) * POINTS)


@cache
def _uniforms(side: int) -> Drawn:
    return single(np.random.default_rng(SEED + side).uniform(size=(SETS, EACH)))


@cache
def _noise(side: int) -> Drawn:
    return single(np.random.default_rng(SEED + 10 + side).standard_normal((SETS, EACH, 1)))
