"""Conformance probability against JCGM 106 and the normal table."""

import pytest
from scipy import stats
from scipy.integrate import quad

from installs.arithmetic.conformity import (
    Workmanship,
    judge_conformity,
    judge_with_workmanship,
)
from jobs.arithmetic.errors import UnusableInput


def test_two_limits_agree_with_the_guide():
    # published: JCGM 106:2012, 7.4
    judged = judge_conformity(13.6, 1.8, 12.5, 16.3, 0.95)
    assert judged.probability_conforms == pytest.approx(0.66, abs=0.005)
    # closed form: the normal distribution to four digits
    assert judged.probability_conforms == pytest.approx(0.6626, abs=5e-5)
    assert judged.decision == "inconclusive"


def test_one_upper_limit_agrees_with_the_guide():
    # from memory: JCGM 106:2012, 7.3: -5.47 V, u 0.05 V, limit -5.40 V gives 0.92
    assert judge_conformity(-5.47, 0.05, None, -5.40, 0.95).probability_conforms == pytest.approx(
        0.92, abs=0.005
    )


@pytest.mark.parametrize("side", ["lower", "upper"])
def test_one_guard_band_inside_a_limit_conforms_with_95_percent(side):
    # published: JCGM 106:2012, 7, normal distribution: w = 1.645 u
    lower, upper = (0.0, None) if side == "lower" else (None, 3.29)
    judged = judge_conformity(1.645, 1.0, lower, upper, 0.95)
    assert judged.probability_conforms == pytest.approx(0.95, abs=1e-4)


NORMAL_TABLE = [
    (0, 0.5000),
    (1.28, 0.8997),
    (1.40, 0.9192),
    (1.645, 0.9500),
    (1.96, 0.9750),
    (2, 0.97725),
    (2.33, 0.9901),
    (3, 0.99865),
    (3.09, 0.9990),
]


# closed form: normal table, to the digits it prints
@pytest.mark.parametrize(("z", "p"), NORMAL_TABLE)
def test_distances_from_a_limit_agree_with_the_normal_table(z, p):
    assert judge_conformity(0, 1, None, z, 0.95).probability_conforms == pytest.approx(p, abs=6e-5)


# closed form; attributed from memory to ILAC-G8:09/2019, table 1: a value at the edge of a guard
# band of r times the expanded uncertainty (k = 2) is out of tolerance with this probability
@pytest.mark.parametrize(
    ("r", "risk"), [(0, 0.5), (0.5, 0.1587), (0.83, 0.0485), (1, 0.02275), (1.5, 0.00135)]
)
def test_the_risk_at_the_edge_of_a_guard_band_agrees_with_the_table(r, risk):
    judged = judge_conformity(10 - r * 2 * 0.4, 0.4, None, 10, 0.95)
    assert 1 - judged.probability_conforms == pytest.approx(risk, abs=6e-5)


# closed form, JCGM 106:2012 7.6: tolerance over four standard uncertainties, measured in the middle
@pytest.mark.parametrize(("capability", "p"), [(1, 0.954500), (1.5, 0.997300), (2, 0.999937)])
def test_a_value_in_the_middle_conforms_as_the_measurement_is_capable(capability, p):
    judged = judge_conformity(5, 1 / (4 * capability), 4.5, 5.5, 0.95)
    assert judged.probability_conforms == pytest.approx(p, abs=1e-6)


@pytest.mark.parametrize("y", [-2.0, 0.3, 1.7, 5.0])
def test_the_probability_is_that_of_the_reference_library(y):
    # reference library: scipy.stats.norm
    expected = stats.norm(y, 0.7).cdf(2) - stats.norm(y, 0.7).cdf(-1)
    assert judge_conformity(y, 0.7, -1, 2, 0.95).probability_conforms == pytest.approx(expected)


def test_an_exact_value_on_its_limit_passes():
    assert judge_conformity(3, 0, None, 3, 0.95).decision == "pass"
    assert judge_conformity(3.001, 0, None, 3, 0.95).decision == "fail"


@pytest.mark.parametrize(
    ("arguments", "pointer"),
    [
        ((1, 1, None, None, 0.95), "/upper"),
        ((1, 1, 3, 2, 0.95), "/lower"),
        ((1, -1, 0, 2, 0.95), "/standard_uncertainty"),
        ((1, 1, 0, 2, 0.5), "/confidence"),
    ],
)
def test_what_cannot_be_judged_is_named(arguments, pointer):
    with pytest.raises(UnusableInput) as refusal:
        judge_conformity(*arguments)
    assert refusal.value.pointer == pointer


@pytest.mark.parametrize(
    ("measured", "u", "mean", "spread"), [(1.2, 0.5, 0.0, 0.6), (-0.4, 1, 1, 2)]
)
def test_earlier_work_is_weighed_by_bayes_theorem(measured, u, mean, spread):
    """Prior times likelihood, integrated numerically; JCGM 106:2012, 7, gives the closed form."""
    prior, error = stats.norm(mean, spread), stats.norm(0, u)

    def weight(true: float) -> float:
        return float(prior.pdf(true) * error.pdf(measured - true))

    within, everything = quad(weight, -1.5, 1.5)[0], quad(weight, -20, 20, points=[0])[0]
    answer = judge_with_workmanship(
        measured, u, -1.5, 1.5, 0.95, workmanship=Workmanship(mean, spread)
    )
    assert answer.probability_conforms == pytest.approx(within / everything, abs=1e-6)


def test_a_good_crew_need_not_start_from_nothing_and_a_poor_one_gains_nothing():
    alone = judge_conformity(1.0, 0.5, -1.5, 1.5, 0.95)
    good = judge_with_workmanship(1.0, 0.5, -1.5, 1.5, 0.95, workmanship=Workmanship(0.0, 0.4))
    poor = judge_with_workmanship(1.0, 0.5, -1.5, 1.5, 0.95, workmanship=Workmanship(2.0, 0.4))
    assert (alone.decision, good.decision) == ("inconclusive", "pass")
    assert poor.probability_conforms < alone.probability_conforms


def test_a_history_without_spread_is_refused():
    with pytest.raises(UnusableInput) as refused:
        judge_with_workmanship(1.0, 0.5, -1.5, 1.5, 0.95, workmanship=Workmanship(0.0, 0.0))
    assert refused.value.pointer == "/workmanship/standard_deviation"
