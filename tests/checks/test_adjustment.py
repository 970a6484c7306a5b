"""The adjustment of an opening against a general optimiser that minimises the same residuals."""

import numpy as np
import pytest
from scipy.optimize import least_squares

from jobs.rule_texts import read_rules, shipped_rule_set_texts
from surveys.arithmetic.adjustment import adjust
from surveys.arithmetic.equations import observation_equations
from surveys.arithmetic.outline import SHAPE_COUNT
from surveys.arithmetic.readings import Measurement
from surveys.arithmetic.simulation import simulate
from surveys.services.fit_rules import read_priors

PRIORS = read_priors(read_rules(shipped_rule_set_texts()[0]))
SURVEYS = 40


def sound_surveys() -> list[Measurement]:
    """Simulated surveys in which no prior had to yield: there both solve the very same system."""
    rng = np.random.default_rng(11)
    drawn = (simulate(rng, PRIORS).measurement for _ in range(2 * SURVEYS))
    return [one for one in drawn if not adjust(one).overruled][:SURVEYS]


MEASUREMENTS = sound_surveys()


@pytest.mark.parametrize("measurement", MEASUREMENTS)
def test_outline_misfit_and_covariance_are_those_of_the_general_optimiser(measurement):
    # reference library: scipy 1.17, scipy.optimize.least_squares
    system = observation_equations(measurement)
    found = least_squares(
        lambda numbers: (system.fitted(numbers) - system.values) / system.deviations,
        system.start,
        xtol=1e-12,
        ftol=1e-12,
        gtol=1e-12,
    )
    ours = adjust(measurement)
    assert ours.shape == pytest.approx(found.x[:SHAPE_COUNT], abs=1e-3)
    assert ours.chi_square == pytest.approx(2 * found.cost, rel=1e-4, abs=1e-6)
    covariance = np.linalg.inv(found.jac.T @ found.jac)[:SHAPE_COUNT, :SHAPE_COUNT]
    spread = np.sqrt(np.diag(covariance))
    assert ours.covariance / np.outer(spread, spread) == pytest.approx(
        covariance / np.outer(spread, spread), abs=1e-3
    )


def test_there_are_enough_surveys_to_tell():
    assert len(MEASUREMENTS) == SURVEYS
