"""How much further in the inside edges of the reveals stand than the outside ones, as drawn.

A reveal is of one of two kinds: cut square, or splayed; how probable each is of a side follows from
what a square read there.
"""

from dataclasses import dataclass
from functools import cache
from math import exp

import numpy as np

from surveys.arithmetic.opening_draws import DRAWS, single
from surveys.arithmetic.outline import share
from surveys.arithmetic.readings import SIDES, Splay
from surveys.arithmetic.rows import Drawn, Numbers

# How alike both ends of a side are. Common practice, no source.
LIKENESS: Numbers = np.array([[1.0, 0.5], [0.5, 1.0]])
# So many reveals are cut square, to so many mm, one standard deviation. Common practice, no source.
CUT_SQUARE, SQUARE_WITHIN = 0.5, 0.3
# A reading with a square, mm: rounded to the millimetre (0.29), and how steadily it is held (0.3).
READING_DEVIATION = 0.42
# A logarithm beyond which nothing is gained.
CERTAIN = 100.0
SEED = 20260106


@dataclass(frozen=True, slots=True)
class _Ends:
    """Splay at both ends of a side, mm, given its readings: mean, root of the covariance, and the
    density of the readings, as a logarithm up to a constant."""

    mean: Numbers
    root: Numbers
    density: float


def draw_splays(readings: tuple[Splay, ...], width: float, height: float, usual: float) -> Drawn:
    """Splay at the foot or left end and at the other end of each side, (4, 2, draws), mm;
    `usual` is one standard deviation of either where a reveal is splayed."""
    drawn = np.empty((len(SIDES), 2, DRAWS))
    for index, side in enumerate(SIDES):
        length = height if side in ("left", "right") else width
        read = [(share(r.at, length), r.value) for r in readings if r.side == side]
        square, splayed = (_ends(within, read) for within in (SQUARE_WITHIN, usual))
        odds = _odds(square, splayed)
        units = _units()[index]
        of_square, of_splayed = (
            ends.mean[:, None] + ends.root @ units for ends in (square, splayed)
        )
        drawn[index] = np.where(_ranks()[index] * (1 + odds) < 1, of_square, of_splayed)
    return single(drawn)


def _odds(square: _Ends, splayed: _Ends) -> float:
    """By how much more probably the reveal is splayed than cut square."""
    likelier = min(splayed.density - square.density, CERTAIN)
    return (1 - CUT_SQUARE) / CUT_SQUARE * exp(likelier)


def _ends(within: float, read: list[tuple[float, float]]) -> _Ends:
    """Of a reveal that is square within so many mm."""
    prior = within**2 * LIKENESS
    if not read:
        return _Ends(np.zeros(2), _root(prior), 0.0)
    places, values = np.array(read).T
    rows = np.stack([1 - places, places], axis=1)
    expected = rows @ prior @ rows.T + READING_DEVIATION**2 * np.eye(len(values))
    gain = prior @ rows.T @ np.linalg.inv(expected)
    _, determinant = np.linalg.slogdet(expected)
    density = -0.5 * float(values @ np.linalg.solve(expected, values) + determinant)
    return _Ends(gain @ values, _root(prior - gain @ rows @ prior), density)


def _root(covariance: Numbers) -> Numbers:
    return np.linalg.cholesky(covariance).astype(np.float64)


@cache
def _units() -> Numbers:
    half = np.random.default_rng(SEED).standard_normal((len(SIDES), 2, DRAWS // 2))
    return np.concatenate([half, -half], axis=-1)


@cache
def _ranks() -> Numbers:
    """Evenly spread between 0 and 1, in another order for each side."""
    rng, even = np.random.default_rng(SEED + 1), (np.arange(DRAWS) + 0.5) / DRAWS
    return np.array([rng.permutation(even) for _ in SIDES])
