"""How much further in the inside edges of the reveals stand than the outside ones, as drawn."""

from functools import cache

import numpy as np

from surveys.arithmetic.opening_draws import DRAWS, single
from surveys.arithmetic.outline import share
from surveys.arithmetic.readings import SIDES, Splay
from surveys.arithmetic.rows import Drawn, Numbers

# How alike both ends of a side are. Common practice, no source.
LIKENESS = 0.5
# A reading with a square, to the millimetre.
READING_DEVIATION = 0.5
SEED = 20260106


def draw_splays(readings: tuple[Splay, ...], width: float, height: float, usual: float) -> Drawn:
    """Splay at the foot or left end and at the other end of each side, (4, 2, draws), mm;
    `usual` is one standard deviation of either, before any is read."""
    drawn = np.empty((len(SIDES), 2, DRAWS))
    prior = usual**2 * np.array([[1, LIKENESS], [LIKENESS, 1]])
    for index, side in enumerate(SIDES):
        length = height if side in ("left", "right") else width
        read = [(share(r.at, length), r.value) for r in readings if r.side == side]
        mean, covariance = _posterior(prior, read)
        drawn[index] = mean[:, None] + np.linalg.cholesky(covariance) @ _units()[index]
    return single(drawn)


def _posterior(prior: Numbers, read: list[tuple[float, float]]) -> tuple[Numbers, Numbers]:
    if not read:
        return np.zeros(2), prior
    places, values = np.array(read).T
    rows = np.stack([1 - places, places], axis=1)
    covariance = np.linalg.inv(np.linalg.inv(prior) + rows.T @ rows / READING_DEVIATION**2)
    return covariance @ rows.T @ values / READING_DEVIATION**2, covariance


@cache
def _units() -> Numbers:
    half = np.random.default_rng(SEED).standard_normal((len(SIDES), 2, DRAWS // 2))
    return np.concatenate([half, -half], axis=-1)
