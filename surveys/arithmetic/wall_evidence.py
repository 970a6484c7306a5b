"""How probable each kind of wall is on each side, given the readings, and how well each reading
agrees with all others under all of them."""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from surveys.arithmetic.opening_prior import OpeningPrior
from surveys.arithmetic.rows import Numbers
from surveys.arithmetic.wall_kinds import KINDS

COUNT = len(KINDS)


@dataclass(frozen=True, slots=True)
class PairEvidence:
    """Of two opposite sides, over all pairs of kinds: logarithms of the probability of the
    readings, up to a constant, (pairs,), and what each reading is by all others: mean,
    (pairs, readings), and deviation. `judged` are the readings that have both, (readings,), those
    of the two sides; elsewhere they are 0 and 1."""

    logarithms: Numbers
    judged: npt.NDArray[np.bool_]
    expected: Numbers
    spread: Numbers
    chi_square: Numbers


def pair_evidence(prior: OpeningPrior, pair: tuple[int, int], others: Numbers) -> PairEvidence:
    """`others`: covariance of the readings by the two other sides.

    Readings of those alone are the same whatever the kinds of the pair: they are taken into account
    once, and not with each pair of kinds."""
    rows, common = prior.rows, prior.line_readings + others
    read = rows.shares != 0
    judged: npt.NDArray[np.bool_] = read[:, pair[0]] | read[:, pair[1]] | (read.sum(axis=1) == 0)
    values, across = rows.values[~judged], common[np.ix_(~judged, judged)]
    told = np.linalg.solve(common[np.ix_(~judged, ~judged)], np.c_[across, values])
    off = rows.values[judged] - across.T @ told[:, -1]
    readings = prior.readings[[*pair]][:, :, judged][..., judged]
    covariance = (readings[0][:, None] + readings[1][None, :]).reshape(-1, len(off), len(off))
    covariance += common[np.ix_(judged, judged)] - across.T @ told[:, :-1]
    root = np.linalg.cholesky(covariance)
    inverse = np.linalg.inv(covariance)
    weighed = inverse @ off
    chi_square = weighed @ off
    determinant = 2 * np.log(np.diagonal(root, axis1=1, axis2=2)).sum(axis=1)
    precision = np.diagonal(inverse, axis1=1, axis2=2)
    expected, spread = np.zeros((len(inverse), len(judged))), np.ones((len(inverse), len(judged)))
    expected[:, judged] = rows.values[judged] - weighed / precision
    spread[:, judged] = 1 / np.sqrt(precision)
    return PairEvidence(
        logarithms=-0.5 * (chi_square + determinant),
        judged=judged,
        expected=expected,
        spread=spread,
        chi_square=chi_square + float(values @ told[:, -1]),
    )
