"""Opening-fit: a whole decision, which a page waits for, and one of the most readings."""

from dataclasses import replace

import numpy as np

from benchmarks.case import Case
from jobs.rule_texts import read_rules, shipped_rule_set_texts
from surveys.arithmetic.fit_request import FitRequest
from surveys.arithmetic.opening_fit import decide_fit
from surveys.arithmetic.placement import Clearance, Frame
from surveys.arithmetic.readings import SIDES, Measurement, PlacedReading, Splay, Straightedge
from surveys.arithmetic.simulated_survey import Surveyor
from surveys.arithmetic.simulated_walls import SHAPES
from surveys.services.fit_rules import read_priors

MOST_READINGS = 40


def cases() -> list[Case]:
    usual = _survey()
    return [
        _case("usual survey", usual),
        _case("walls read too", _with_walls(usual)),
        _case(f"walls and {MOST_READINGS} widths", _with_widths(_with_walls(usual))),
    ]


def _case(name: str, measurement: Measurement) -> Case:
    request = FitRequest(measurement, Frame(1700, 1900), Clearance(5, 5, 5, 0), 20, 0.95)
    return Case(f"opening-fit, {name}", lambda: decide_fit(request))


def _survey() -> Measurement:
    priors = read_priors(read_rules(shipped_rule_set_texts()[0]))
    surveyor = Surveyor.of(np.random.default_rng(3), SHAPES["eight_points"], "none")
    return surveyor.survey(priors)


def _with_walls(measurement: Measurement) -> Measurement:
    opening = replace(
        measurement.opening,
        straightedge=tuple(Straightedge(side, 1.0) for side in SIDES),
        splay=tuple(Splay(side, at, 0.0) for side in SIDES for at in (100.0, 1800.0)),
    )
    return replace(measurement, opening=opening)


def _with_widths(measurement: Measurement) -> Measurement:
    first, *_, last = measurement.opening.widths
    places = np.linspace(first.at, last.at, MOST_READINGS)
    values = np.interp(places, [first.at, last.at], [first.value, last.value])
    widths = tuple(
        PlacedReading(float(at), float(round(value)))
        for at, value in zip(places, values, strict=True)
    )
    return replace(measurement, opening=replace(measurement.opening, widths=widths))
