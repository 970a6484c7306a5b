"""How probable each kind of wall is on each side, given the readings, and how well each reading
agrees with all others under all of them."""

from dataclasses import dataclass

import numpy as np

from surveys.arithmetic.opening_prior import OpeningPrior
from surveys.arithmetic.rows import Numbers
from surveys.arithmetic.wall_kinds import KINDS

COUNT = len(KINDS)


@dataclass(frozen=True, slots=True)
class PairEvidence:
    """Of two opposite sides, over all pairs of kinds: logarithms of the probability of the
    readings, up to a constant, (pairs,), and what each reading is by all others: mean,
    (pairs, readings), and deviation."""

    logarithms: Numbers
    expected: Numbers
    spread: Numbers
    chi_square: Numbers


def pair_evidence(prior: OpeningPrior, pair: tuple[int, int], others: Numbers) -> PairEvidence:
    """`others`: covariance of the readings by the two other sides."""
    first, second = pair
    values = prior.rows.values
    readings = prior.readings[first][:, None] + prior.readings[second][None, :]
    count = len(values)
    covariance = readings.reshape(-1, count, count) + prior.line_readings + others
    root = np.linalg.cholesky(covariance)
    inverse = np.linalg.inv(covariance)
    weighed = inverse @ values
    chi_square = weighed @ values
    determinant = 2 * np.log(np.diagonal(root, axis1=1, axis2=2)).sum(axis=1)
    precision = np.diagonal(inverse, axis1=1, axis2=2)
    return PairEvidence(
        logarithms=-0.5 * (chi_square + determinant),
        expected=values - weighed / precision,
        spread=1 / np.sqrt(precision),
        chi_square=chi_square,
    )
