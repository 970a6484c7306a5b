"""How well every pair of kinds of wall explains the readings, worked out anew at full length."""

import numpy as np
import pytest
from scipy.stats import multivariate_normal

from surveys.arithmetic.survey_rows import HEAD, LEFT, RIGHT, SILL
from surveys.arithmetic.wall_evidence import COUNT, pair_evidence
from surveys.arithmetic.walled_opening import work_out
from tests.surveys.openings import measured

KINDS_TRIED = ((0, 0), (3, 1), (7, 5))


@pytest.fixture(scope="module")
def prior():
    return work_out(measured()).prior


def covariance(prior, pair, kinds, others) -> np.ndarray:
    """Of all readings, none of them taken out."""
    of_pair = sum(prior.readings[side, kind] for side, kind in zip(pair, kinds, strict=True))
    return of_pair + others + prior.line_readings


@pytest.mark.parametrize("pair", [(LEFT, RIGHT), (HEAD, SILL)])
def test_the_readings_are_as_probable_as_one_distribution_of_all_of_them_says(prior, pair):
    # reference library: scipy 1.17, scipy.stats.multivariate_normal
    others = prior.readings[[side for side in range(4) if side not in pair], 0].sum(axis=0)
    evidence, values = pair_evidence(prior, pair, others), prior.rows.values

    def whole(kinds):
        full = covariance(prior, pair, kinds, others)
        return multivariate_normal(cov=full, allow_singular=True).logpdf(values)

    first = KINDS_TRIED[0]
    for kinds in KINDS_TRIED:
        ours = evidence.logarithms[COUNT * kinds[0] + kinds[1]] - evidence.logarithms[0]
        assert ours == pytest.approx(whole(kinds) - whole(first), abs=1e-4)
        full = covariance(prior, pair, kinds, others)
        chi_square = values @ np.linalg.solve(full, values)
        assert evidence.chi_square[COUNT * kinds[0] + kinds[1]] == pytest.approx(chi_square)


@pytest.mark.parametrize("pair", [(LEFT, RIGHT), (HEAD, SILL)])
def test_each_reading_is_foretold_by_all_others(prior, pair):
    """The conditional distribution of one reading given the others, by its textbook formula."""
    others = prior.readings[[side for side in range(4) if side not in pair], 0].sum(axis=0)
    evidence, values = pair_evidence(prior, pair, others), prior.rows.values
    assert evidence.judged.sum() >= 5
    for kinds in KINDS_TRIED:
        full = covariance(prior, pair, kinds, others)
        for row in np.flatnonzero(evidence.judged):
            rest = np.delete(np.arange(len(values)), row)
            gain = np.linalg.solve(full[np.ix_(rest, rest)], full[rest, row])
            number = COUNT * kinds[0] + kinds[1]
            assert evidence.expected[number, row] == pytest.approx(gain @ values[rest], abs=1e-6)
            variance = full[row, row] - gain @ full[rest, row]
            assert evidence.spread[number, row] ** 2 == pytest.approx(variance, rel=1e-6)
