"""How often an instrument shows perfect work to be within its limits, drawn and tabled anew."""

from statistics import NormalDist

import numpy as np
import pytest
from scipy import stats

from installs.arithmetic.criteria import Criterion
from installs.arithmetic.instrument_fit import chance_of_passing, greatest_uncertainty
from installs.plan import limits
from surveys.arithmetic.uncertainty import Instrument
from tests.checks.rule_sets import FOLDING

CONFIDENCE = 0.95
Z = NormalDist().inv_cdf(CONFIDENCE)
TAPE = Instrument("tape", "II")
LASER = Instrument("laser", expanded_uncertainty=1.0, coverage_factor=2)
GAUGE = Instrument("gauge", expanded_uncertainty=0.5, coverage_factor=2)
BOW = limits.bow(FOLDING)
HEIGHT = limits.clear_height(FOLDING)
SILL = limits.level("sill_level", 3600, FOLDING)


def drawn(readings: int, expanded: float, seed: int) -> np.ndarray:
    """Perfect work read with an instrument that is read to whole millimetres; a row each time."""
    random = np.random.default_rng(seed)
    return np.round(random.normal(0.0, expanded / 2, (200_000, readings)))


# A rounded reading adds the variance of its step, JCGM 100:2008, 4.3.7.
U_LASER = np.hypot(0.5, 1 / np.sqrt(12))


def test_a_laser_of_a_millimetre_leaves_nine_perfect_jambs_in_ten_in_doubt():
    within = np.abs(drawn(6, 1.0, 1)) <= 1.5 - Z * U_LASER
    expected = within.all(axis=1).mean()
    assert expected == pytest.approx(0.10, abs=0.01)
    assert chance_of_passing(BOW, LASER, CONFIDENCE) == pytest.approx(expected, abs=0.01)


@pytest.mark.parametrize(("criteria", "limit"), [(HEIGHT, 1.5), (SILL, 3.0)])
def test_the_range_of_five_readings_is_as_often_within_as_when_it_is_drawn(criteria, limit):
    ranges = np.ptp(drawn(5, 1.0, 2), axis=1)
    expected = (ranges <= limit - Z * np.sqrt(2) * U_LASER).mean()
    assert chance_of_passing(criteria, LASER, CONFIDENCE) == pytest.approx(expected, abs=0.01)


def test_the_range_of_readings_of_a_gauge_follows_the_studentized_range():
    u = 0.25
    table = stats.studentized_range.cdf((1.5 - Z * np.sqrt(2) * u) / u, 5, 1e6)
    assert chance_of_passing(HEIGHT, GAUGE, CONFIDENCE) == pytest.approx(table, abs=0.02)


def test_two_readings_of_a_gauge_differ_as_normal_deviates_do():
    twist = {"twist": Criterion(-1.0, 1.0, "mm", "", "difference", ("a", "b"), -50, 50)}
    u = 0.25 * np.sqrt(2)
    table = 2 * NormalDist().cdf((1.0 - 1.6449 * u) / u) - 1
    # The two tails of the judgement share the guard band's outer part: a little is added.
    assert chance_of_passing(twist, GAUGE, CONFIDENCE) == pytest.approx(table, abs=0.02)


@pytest.mark.parametrize("criteria", [BOW, HEIGHT, SILL, limits.square(FOLDING)])
def test_a_tape_of_class_two_shows_every_limit_of_a_perfect_frame(criteria):
    """Its readings share what it is out by; they differ by less than half of what it is read to."""
    assert chance_of_passing(criteria, TAPE, CONFIDENCE) == pytest.approx(1.0)


def test_the_greatest_uncertainty_that_fits_is_the_last_one_that_does():
    greatest = greatest_uncertainty(BOW, "gauge", CONFIDENCE, 0.6)
    assert greatest is not None
    chances = [
        chance_of_passing(BOW, Instrument("gauge", None, False, expanded, 2), CONFIDENCE)
        for expanded in (greatest - 0.01, greatest + 0.01)
    ]
    assert chances[0] >= 0.6 > chances[1]


def test_no_instrument_fits_a_limit_that_is_finer_than_the_finest():
    fine = {"x": Criterion(-0.01, 0.01, "mm", "", "direct", ("x",), -50, 50)}
    assert greatest_uncertainty(fine, "gauge", CONFIDENCE, 0.6) is None


def test_a_step_that_is_counted_needs_no_instrument():
    keys = limits.count_of("keys", lower=1, upper=None, source="")
    assert chance_of_passing(keys, LASER, CONFIDENCE) == 1.0
