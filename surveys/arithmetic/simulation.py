"""Simulated surveys whose truth is known, to see how often opening-fit is wrong.

Outlines of eight knots; leans, falls and bows normal; tape errors uniform within the permissible
error of class II, rounded to 1 mm; sill levels always taken, plumb readings in half of the surveys.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from surveys.arithmetic.answers import FitAnswer, Uncertain
from surveys.arithmetic.fit_request import FitRequest
from surveys.arithmetic.opening_fit import decide_fit
from surveys.arithmetic.outline import shares
from surveys.arithmetic.placement import Clearance, Frame
from surveys.arithmetic.readings import (
    Diagonals,
    Measurement,
    Opening,
    PlacedReading,
    Plumb,
    Priors,
)
from surveys.arithmetic.rows import Numbers, jamb_rows, level_rows
from surveys.arithmetic.uncertainty import Instrument, tape_permissible_error

LEAN_MM, FALL_MM, BOW_MM = 6.0, 5.0, 2.5
CLEARANCE = Clearance(5.0, 5.0, 5.0, 0.0)
CONFIDENCE = 0.95
MAXIMUM_JOINT = 1000.0
LEVEL_DEVIATION_MM = 0.5
BLUNDER_MM = 18.0
ROOM_MM = 5.0
ROOT_MEAN_SQUARES = ("width_error_over_uncertainty", "height_error_over_uncertainty")
TAPE = Instrument("tape", "II")
LASER = Instrument("laser", expanded_uncertainty=1.0, coverage_factor=2.0)


@dataclass(frozen=True, slots=True)
class SimulatedSurvey:
    """Readings, and the clear sizes that are really there, mm."""

    measurement: Measurement
    clear_width: float
    clear_height: float


@dataclass(frozen=True, slots=True)
class StudyResult:
    """Shares of all simulated surveys, and how many suspects a blunder leaves on average.

    Uncertainties are those stated, mm, on average; true errors over them have a root mean square
    of 1 where they are stated rightly, and less where they are stated cautiously.
    """

    surveys: int
    false_fits: float
    false_fits_by_height: float
    width_uncertainty: float
    width_error_over_uncertainty: float
    height_uncertainty: float
    height_error_over_uncertainty: float
    inconclusive_with_room: float
    false_contradictions: float
    blunders_reported: float
    culprits_named: float
    suspects_on_average: float
    thumb_overshoots: float
    thumb_overshoots_by_2_mm: float
    thumb_overshoots_by_5_mm: float


def simulate(rng: np.random.Generator, priors: Priors) -> SimulatedSurvey:
    """One opening and one survey of it."""
    width, height = rng.uniform(1800, 6000), rng.uniform(1950, 2500)
    shape = _outline(rng, width, height)
    opening = _read(rng, shape, width, height)
    clear = _clear(shape, width, height)
    return SimulatedSurvey(Measurement(opening, TAPE, LASER, priors), *clear)


def study(
    surveys: int, seed: int, priors: Priors, progress: Callable[[int], None] = lambda _: None
) -> StudyResult:
    """Run the whole study over this many surveys."""
    rng = np.random.default_rng(seed)
    tally: dict[str, list[float]] = {}
    for number in range(surveys):
        survey = simulate(rng, priors)
        for name, value in _trials(rng, survey).items():
            tally.setdefault(name, []).append(value)
        progress(number + 1)
    means = {
        name: _root_mean_square(values) if name in ROOT_MEAN_SQUARES else float(np.mean(values))
        for name, values in tally.items()
    }
    return StudyResult(surveys=surveys, **means)


def _root_mean_square(values: list[float]) -> float:
    return float(np.sqrt(np.mean(np.square(values))))


def _trials(rng: np.random.Generator, survey: SimulatedSurvey) -> dict[str, float]:
    needed_width = CLEARANCE.left + CLEARANCE.right
    needed_height = CLEARANCE.head + CLEARANCE.sill
    just_wide, just_high = survey.clear_width - needed_width, survey.clear_height - needed_height
    roomy_width, roomy_height = just_wide - ROOM_MM, just_high - ROOM_MM
    too_wide = _decide(survey.measurement, just_wide + rng.uniform(0, 2), roomy_height)
    too_high = _decide(survey.measurement, roomy_width, just_high + rng.uniform(0, 2))
    roomy = _decide(survey.measurement, roomy_width, roomy_height)
    wrong, culprit = _blunder(rng, survey.measurement)
    blundered = _decide(wrong, roomy_width, roomy_height)
    named = [suspect.reading for suspect in blundered.suspect_readings]
    smallest = min(reading.value for reading in survey.measurement.opening.widths)
    overshoot = smallest - survey.clear_width
    return {
        "false_fits": too_wide.verdict == "fits",
        "false_fits_by_height": too_high.verdict == "fits",
        "width_uncertainty": roomy.clear_width.standard_uncertainty,
        "width_error_over_uncertainty": _error(roomy.clear_width, survey.clear_width),
        "height_uncertainty": roomy.clear_height.standard_uncertainty,
        "height_error_over_uncertainty": _error(roomy.clear_height, survey.clear_height),
        "inconclusive_with_room": roomy.verdict == "inconclusive",
        "false_contradictions": bool(roomy.suspect_readings),
        "blunders_reported": bool(named),
        "culprits_named": culprit in named,
        "suspects_on_average": len(named),
        "thumb_overshoots": overshoot > 0,
        "thumb_overshoots_by_2_mm": overshoot > 2,  # noqa: PLR2004 as the name says
        "thumb_overshoots_by_5_mm": overshoot > 5,  # noqa: PLR2004 as the name says
    }


def _error(stated: Uncertain, true: float) -> float:
    return (true - stated.value) / stated.standard_uncertainty


def _decide(measurement: Measurement, width: float, height: float) -> FitAnswer:
    request = FitRequest(measurement, Frame(width, height), CLEARANCE, MAXIMUM_JOINT, CONFIDENCE)
    return decide_fit(request)


def _outline(rng: np.random.Generator, width: float, height: float) -> Numbers:
    """Ten numbers of an outline, in the order of the adjustment."""
    fall, head_fall = rng.normal(0, FALL_MM, 2)
    left, right = rng.normal(0, LEAN_MM, 2)
    corners = [width, fall, width + right, height + head_fall, left, height]
    return np.array([*corners, *rng.normal(0, BOW_MM, 4)])


def _clear(shape: Numbers, width: float, height: float) -> tuple[float, float]:
    up = along = shares(0, 1, 1)

    def positions(rows: Numbers) -> Numbers:
        return rows @ shape

    left, right = (positions(jamb_rows(up, right=side)) for side in (False, True))
    sill, head = (positions(level_rows(along, head=side)) for side in (False, True))
    return float(right.min() - left.max()), float(head.min() - sill.max())


def _read(rng: np.random.Generator, shape: Numbers, width: float, height: float) -> Opening:
    up = np.array([100, height / 2, height - 100]) / height
    along = np.array([100, width / 2, width - 100]) / width
    across = (jamb_rows(up, right=True) - jamb_rows(up, right=False)) @ shape
    upward = (level_rows(along, head=True) - level_rows(along, head=False)) @ shape
    ends = np.array([0.0, 0.5, 1.0])
    plumb = Plumb()
    if rng.random() < 0.5:  # noqa: PLR2004 half of the surveys
        plumb = Plumb(
            *(
                _levelled(rng, ends * height, jamb_rows(ends, right=side) @ shape)
                for side in (False, True)
            )
        )
    br_x, br_y, tr_x, tr_y, tl_x, tl_y = shape[:6]
    return Opening(
        widths=_taped(rng, up * height, across),
        heights=_taped(rng, along * width, upward),
        diagonals=Diagonals(
            _tape(rng, np.hypot(tr_x, tr_y)), _tape(rng, np.hypot(br_x - tl_x, br_y - tl_y))
        ),
        sill_levels=_levelled(rng, ends * width, level_rows(ends, head=False) @ shape),
        plumb=plumb,
    )


def _taped(rng: np.random.Generator, at: Numbers, true: Numbers) -> tuple[PlacedReading, ...]:
    return tuple(
        PlacedReading(float(a), _tape(rng, value)) for a, value in zip(at, true, strict=True)
    )


def _tape(rng: np.random.Generator, value: float) -> float:
    error = tape_permissible_error(value, "II", from_end_hook=False)
    return float(round(value + rng.uniform(-error, error)))


def _levelled(rng: np.random.Generator, at: Numbers, true: Numbers) -> tuple[PlacedReading, ...]:
    datum = rng.uniform(-50, 50)
    read = np.round(true - datum + rng.normal(0, LEVEL_DEVIATION_MM, len(true)))
    return tuple(PlacedReading(float(a), float(value)) for a, value in zip(at, read, strict=True))


def _blunder(rng: np.random.Generator, measurement: Measurement) -> tuple[Measurement, str]:
    """The same survey with two digits swapped in one width, height or diagonal: 18 mm or more."""
    opening = measurement.opening
    size = float(rng.choice((BLUNDER_MM, 27, 36, 45, 90)) * rng.choice((-1, 1)))
    kind, index = rng.choice(("widths", "heights", "diagonals")), int(rng.integers(3))
    if kind == "diagonals":
        name = ("rising", "falling")[index % 2]
        changed = replace(opening.diagonals, **{name: getattr(opening.diagonals, name) + size})
        return replace(measurement, opening=replace(opening, diagonals=changed)), f"{kind}.{name}"
    readings = list(getattr(opening, kind))
    readings[index] = replace(readings[index], value=readings[index].value + size)
    if kind == "widths":
        opening = replace(opening, widths=tuple(readings))
    else:
        opening = replace(opening, heights=tuple(readings))
    return replace(measurement, opening=opening), f"{kind}.{index}"
