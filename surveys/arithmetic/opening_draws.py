"""Openings as they may be, given all readings: draws from the mixture of walls.

Matheron's rule: an opening drawn before it is read is put right by what its own readings, drawn
with it, differ from those that were taken.
"""

from dataclasses import dataclass
from functools import cache

import numpy as np
import numpy.typing as npt

from surveys.arithmetic.opening_prior import OpeningPrior, profile_lines
from surveys.arithmetic.readings import SIDES
from surveys.arithmetic.rows import Drawn, Indices, Numbers
from surveys.arithmetic.side_prior import POINTS
from surveys.arithmetic.survey_rows import LINE_COUNT
from surveys.arithmetic.wall_mixture import COUNT, WallMixture

# Sets of kinds, one of each side, and openings drawn of each.
SETS, EACH = 64, 32
DRAWS = SETS * EACH
SEED = 20260105


@dataclass(frozen=True, slots=True)
class Components:
    """Sets of kinds of the four sides, (sets, 4), most of which are drawn more than once: the
    `different` ones, and which of these each set is, (sets,). In each different one, covariance of
    the profiles with the readings, and that times the inverse of the readings' own,
    (different, 4 x points, readings)."""

    kinds: Indices
    different: Indices
    which: Indices
    cross: Numbers
    gain: Numbers


def components(prior: OpeningPrior, mixture: WallMixture) -> Components:
    kinds = _allocated(mixture)
    different, which = np.unique(kinds, axis=0, return_inverse=True)
    sides = np.arange(len(SIDES))
    readings = prior.line_readings + prior.readings[sides, different].sum(axis=1)
    profiles = prior.line_profiles + prior.profiles[sides, different]
    cross = profiles.reshape(len(different), len(SIDES) * POINTS, -1)
    return Components(kinds, different, which.ravel(), cross, cross @ np.linalg.inv(readings))


def draw_profiles(prior: OpeningPrior, parts: Components) -> Drawn:
    """Of shape (sets, 4 x points, each): the linear readings alone are taken into account."""
    units, rows, sides = _units(), prior.rows, np.arange(len(SIDES))
    lines = single(np.sqrt(prior.line_variances))[:, None] * units.lines
    roots = single(np.array([side.root for side in prior.sides]))[sides, parts.kinds]
    rough = single(np.sqrt([side.rough for side in prior.sides]))[sides, parts.kinds]
    smooth = roots @ units.smooth
    courses = rough[:, :, None, None] * units.rough
    read = single(rows.lines) @ lines
    read += (single(prior.interpolation) @ smooth).sum(axis=1)
    read += (single(prior.courses) @ courses).sum(axis=1)
    read += single(rows.deviations)[:, None] * _noise(len(rows.values))
    smooth += courses
    drawn = smooth.reshape(SETS, len(SIDES) * POINTS, EACH)
    drawn += single(profile_lines()).reshape(len(SIDES) * POINTS, -1) @ lines
    drawn += single(parts.gain)[parts.which] @ (single(rows.values)[:, None] - read)
    return drawn


def single(numbers: npt.ArrayLike) -> Drawn:
    """Numbers of draws: half as exact as others, to a thousandth of a millimetre, and half as
    slow."""
    return np.asarray(numbers, dtype=np.float32)


def _allocated(mixture: WallMixture) -> Indices:
    """Kinds of the four sides in each set, as often as they are probable."""
    jambs, levels = (_systematic(pairs) for pairs in (mixture.jambs, mixture.levels))
    levels = levels[_shuffled()]
    return np.stack([jambs // COUNT, jambs % COUNT, levels // COUNT, levels % COUNT], axis=1)


def _systematic(probabilities: Numbers) -> Indices:
    steps = (np.arange(SETS) + 0.5) / SETS
    found = np.searchsorted(np.cumsum(probabilities), steps)
    return np.minimum(found, len(probabilities) - 1)


@dataclass(frozen=True, slots=True)
class _Units:
    smooth: Drawn
    rough: Drawn
    lines: Drawn


@cache
def _units() -> _Units:
    """Independent standard normal numbers, each with its opposite, so that their mean is exact."""
    rng = np.random.default_rng(SEED)
    half = (SETS, len(SIDES), POINTS, EACH // 2)
    smooth, rough = (_mirrored(rng.standard_normal(half)) for _ in range(2))
    return _Units(smooth, rough, _mirrored(rng.standard_normal((SETS, LINE_COUNT, EACH // 2))))


@cache
def _noise(readings: int) -> Drawn:
    rng = np.random.default_rng(SEED + 1)
    return _mirrored(rng.standard_normal((SETS, readings, EACH // 2)))


@cache
def _shuffled() -> Indices:
    return np.random.default_rng(SEED + 2).permutation(SETS)


def _mirrored(half: Numbers) -> Drawn:
    return single(np.concatenate([half, -half], axis=-1))
