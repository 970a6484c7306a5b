"""Opening-fit: the adjustment against a general optimiser on the same residuals."""

import numpy as np
from scipy.optimize import least_squares

from benchmarks.case import Case
from jobs.rules import read_rules, shipped_rule_set_texts
from surveys.arithmetic.adjustment import adjust
from surveys.arithmetic.equations import observation_equations
from surveys.arithmetic.fit_request import FitRequest
from surveys.arithmetic.opening_fit import decide_fit
from surveys.arithmetic.outline import SHAPE_COUNT
from surveys.arithmetic.placement import Clearance, Frame
from surveys.arithmetic.readings import Measurement, Priors
from surveys.arithmetic.rows import Numbers
from surveys.arithmetic.simulation import simulate

SAME_MM = 1e-3


def cases() -> list[Case]:
    measurement = _sound_survey()
    request = FitRequest(measurement, Frame(1700, 1900), Clearance(5, 5, 5, 0), 20, 0.95)
    return [
        Case(
            "opening-fit, adjustment",
            lambda: adjust(measurement),
            lambda: _general_optimiser(measurement),
            "scipy.optimize.least_squares",
            lambda: _check(measurement),
        ),
        Case("opening-fit, whole decision", lambda: decide_fit(request)),
    ]


def _sound_survey() -> Measurement:
    """A simulated survey in which no prior had to yield, so that both solve one system."""
    priors = Priors(**read_rules(shipped_rule_set_texts()[0]).section("opening_fit"))
    rng = np.random.default_rng(3)
    while True:
        measurement = simulate(rng, priors).measurement
        if not adjust(measurement).overruled:
            return measurement


def _general_optimiser(measurement: Measurement) -> Numbers:
    system = observation_equations(measurement)

    def residuals(numbers: Numbers) -> Numbers:
        return (system.fitted(numbers) - system.values) / system.deviations

    found: Numbers = least_squares(residuals, system.start).x
    return found


def _check(measurement: Measurement) -> None:
    ours, theirs = adjust(measurement).shape, _general_optimiser(measurement)[:SHAPE_COUNT]
    assert np.allclose(ours, theirs, atol=SAME_MM), abs(ours - theirs).max()
