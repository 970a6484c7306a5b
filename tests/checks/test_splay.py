"""What a square at the reveal says of it, against drawing reveals until one agrees with it."""

import numpy as np
import pytest
from scipy.stats import multivariate_normal, norm

from surveys.arithmetic.readings import Splay
from surveys.arithmetic.splay_draws import draw_splays

WIDTH, HEIGHT, USUAL = 3600.0, 2100.0, 3.0
# Half of the reveals are cut square, within 0.3 mm, and both ends of a side are alike by half.
ALIKE = np.array([[1.0, 0.5], [0.5, 1.0]])
READ_TO = 0.42
DRAWS = 400000


def accepted(readings: tuple[Splay, ...]) -> np.ndarray:
    """Splays at both ends of a jamb that agree with the readings: rejection, by brute force."""
    rng = np.random.default_rng(4)
    drawn = np.concatenate(
        [
            multivariate_normal(cov=within**2 * ALIKE).rvs(DRAWS // 2, random_state=rng)
            for within in (0.3, USUAL)
        ]
    )
    likely = np.ones(len(drawn))
    for reading in readings:
        along = reading.at / HEIGHT
        there = drawn[:, 0] * (1 - along) + drawn[:, 1] * along
        likely *= norm.pdf(reading.value, there, READ_TO) / norm.pdf(0, 0, READ_TO)
    return drawn[rng.random(len(drawn)) < likely]


@pytest.mark.parametrize(
    "values", [(), (0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (4.0, 3.0), (0.0, -5.0)]
)
def test_a_square_at_the_reveal_leaves_the_reveals_that_agree_with_it(values):
    # reference library: scipy 1.17, scipy.stats.multivariate_normal, and rejection
    places = (100.0, HEIGHT - 100.0)
    readings = tuple(Splay("left", at, value) for at, value in zip(places, values, strict=False))
    expected = accepted(readings)
    drawn = draw_splays(readings, WIDTH, HEIGHT, USUAL)[0]
    for end in (0, 1):
        assert drawn[end].mean() == pytest.approx(expected[:, end].mean(), abs=0.1)
        assert drawn[end].std() == pytest.approx(expected[:, end].std(), rel=0.08, abs=0.03)
        for share in (0.05, 0.95):
            wanted = np.quantile(expected[:, end], share)
            assert np.quantile(drawn[end], share) == pytest.approx(
                wanted, abs=0.2 * expected[:, end].std() + 0.05
            )


def test_a_reading_far_beyond_any_reveal_is_taken_at_its_word():
    drawn = draw_splays((Splay("head", 0.0, 500.0),), WIDTH, HEIGHT, USUAL)[2]
    assert 400 < drawn[0].mean() < 500
