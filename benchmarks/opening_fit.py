"""Opening-fit: the adjustment against a general optimiser on the same residuals."""

import numpy as np
from scipy.optimize import least_squares

from benchmarks.case import Case
from jobs.rule_texts import read_rules, shipped_rule_set_texts
from surveys.arithmetic.adjustment import adjust
from surveys.arithmetic.equations import observation_equations
from surveys.arithmetic.fit_request import FitRequest
from surveys.arithmetic.opening_fit import decide_fit
from surveys.arithmetic.outline import SHAPE_COUNT
from surveys.arithmetic.placement import Clearance, Frame
from surveys.arithmetic.readings import Measurement
from surveys.arithmetic.rows import Numbers
from surveys.arithmetic.simulation import simulate
from surveys.services.fit_rules import read_priors

SAME_MM = 1e-3


def cases() -> list[Case]:
    measurement = _sound_survey()
    request = FitRequest(measurement, Frame(1700, 1900), Clearance(5, 5, 5, 0), 20, 0.95)
    return [
        _adjustment(measurement, "scipy.optimize.least_squares", own_derivatives=False),
        _adjustment(measurement, "the same, with our derivatives", own_derivatives=True),
        Case("opening-fit, whole decision", lambda: decide_fit(request)),
    ]


def _adjustment(measurement: Measurement, floor_words: str, *, own_derivatives: bool) -> Case:
    def ours() -> Numbers:
        return adjust(measurement).shape

    def theirs() -> Numbers:
        return _general_optimiser(measurement, own_derivatives)

    def agree() -> None:
        apart = np.abs(ours() - theirs()).max()
        assert apart <= SAME_MM, f"{apart} mm apart"

    return Case("opening-fit, adjustment", ours, theirs, floor_words, agree)


def _sound_survey() -> Measurement:
    """A simulated survey in which no prior had to yield, so that both solve one system."""
    priors = read_priors(read_rules(shipped_rule_set_texts()[0]))
    rng = np.random.default_rng(3)
    while True:
        measurement = simulate(rng, priors).measurement
        if not adjust(measurement).overruled:
            return measurement


def _general_optimiser(measurement: Measurement, own_derivatives: bool) -> Numbers:
    """The outline alone: without its covariance and the tests of its readings."""
    system = observation_equations(measurement)

    def residuals(numbers: Numbers) -> Numbers:
        return (system.fitted(numbers) - system.values) / system.deviations

    def derivatives(numbers: Numbers) -> Numbers:
        system.fill_diagonals(numbers)
        return system.rows / system.deviations[:, None]

    solution: Numbers = least_squares(
        residuals, system.start, jac=derivatives if own_derivatives else "2-point"
    ).x
    return solution[:SHAPE_COUNT]
