"""How often opening-fit misleads, over simulated surveys of openings whose walls are known.

A surveyor takes the usual readings and then, while the verdict is not settled, whatever is asked
for next, at most six times. Each opening is asked about a frame with 5 mm to spare each way, about
frames 0 to 2 mm too wide and too high, with a blunder among the readings, with the levels of the
sill swapped, and with five more readings; a frame is ordered at `largest_frame`.
"""

from collections.abc import Callable
from dataclasses import dataclass, fields

import numpy as np

from surveys.arithmetic.answers import FitAnswer, Uncertain
from surveys.arithmetic.fit_request import FitRequest
from surveys.arithmetic.opening_fit import decide_fit
from surveys.arithmetic.placement import Clearance, Frame
from surveys.arithmetic.readings import Measurement, Priors
from surveys.arithmetic.simulated_survey import (
    Check,
    Surveyor,
    TapeFault,
    blundered,
    swapped_levels,
)
from surveys.arithmetic.simulated_walls import SHAPES, Shape

CLEARANCE = Clearance(5.0, 5.0, 5.0, 0.0)
CONFIDENCE = 0.95
MAXIMUM_JOINT = 1000.0
ROOM_MM = 5.0
MOST_ASKED = 6
COVERAGE = 2.0
# Of the walls, of what the tape does to every reading, and of what it is checked against.
CASES: dict[str, tuple[Shape, TapeFault, Check]] = {
    **{name: (shape, "none", "none") for name, shape in SHAPES.items()},
    "tape_sag": (SHAPES["eight_points"], "sag", "none"),
    "shared_scale": (SHAPES["eight_points"], "shared_scale", "none"),
    "hook_known": (SHAPES["eight_points"], "bent_hook", "known_length"),
    "hook_second": (SHAPES["eight_points"], "bent_hook", "second_tape"),
}


@dataclass(frozen=True, slots=True)
class StudyResult:
    """Shares of all simulated surveys, but for `asked` and `suspects`, which are means.

    `breaks` and `breaks_by_2_mm`: frames ordered at `largest_frame` after the asked readings;
    `overstated`: a clear size is less than stated by over twice its uncertainty;
    `false_fits_swapped`: `fits` for a frame that is too high, where the levels of the sill were
    read with the other sign and nobody is asked which end is higher.
    """

    false_fits: float
    false_fits_by_height: float
    breaks: float
    breaks_by_2_mm: float
    undecided: float
    contradicted: float
    asked: float
    contradicted_with_more: float
    false_fits_with_more: float
    blunders_reported: float
    culprits_named: float
    suspects: float
    thumb_breaks: float
    thumb_breaks_by_2_mm: float
    overstated: float
    false_fits_swapped: float


def study(
    case: str,
    surveys: int,
    seed: int,
    priors: Priors,
    progress: Callable[[int], None] = lambda _: None,
) -> StudyResult:
    """Of one of `CASES`."""
    tally: dict[str, list[float]] = {field.name: [] for field in fields(StudyResult)}
    for number in range(surveys):
        rng = np.random.default_rng([seed, list(CASES).index(case), number])
        for name, value in _trials(rng, case, priors).items():
            tally[name].append(value)
        progress(number + 1)
    return StudyResult(**{name: float(np.mean(values)) for name, values in tally.items()})


def _trials(rng: np.random.Generator, case: str, priors: Priors) -> dict[str, float]:
    surveyor = Surveyor.of(rng, *CASES[case])
    first, truth = surveyor.survey(priors), surveyor.truth
    wide = truth.clear_width - CLEARANCE.left - CLEARANCE.right
    high = truth.clear_height - CLEARANCE.head - CLEARANCE.sill
    roomy = Frame(wide - ROOM_MM, high - ROOM_MM)
    answer, asked = _settled(surveyor, first, roomy)
    too_wide = Frame(wide + rng.uniform(0, 2), roomy.height)
    too_high = Frame(roomy.width, high + rng.uniform(0, 2))
    wrong, culprit = blundered(rng, first)
    named = [suspect.reading for suspect in _decide(wrong, roomy).suspect_readings]
    more = surveyor.more(first)
    largest = answer.largest_frame
    over = max(largest.width - wide, largest.height - high)
    thumb = min(reading.value for reading in first.opening.widths) - truth.clear_width
    with_more = _decide(more, roomy)
    return {
        "false_fits": _settled(surveyor, first, too_wide)[0].verdict == "fits",
        "false_fits_by_height": _settled(surveyor, first, too_high)[0].verdict == "fits",
        "breaks": over > 0,
        "breaks_by_2_mm": over > 2,  # noqa: PLR2004 as the name says
        "undecided": answer.verdict == "inconclusive",
        "contradicted": bool(answer.suspect_readings),
        "asked": asked,
        "contradicted_with_more": bool(with_more.suspect_readings),
        "false_fits_with_more": _settled(surveyor, more, too_wide)[0].verdict == "fits",
        "blunders_reported": bool(named),
        "culprits_named": culprit in named,
        "suspects": len(named),
        "thumb_breaks": thumb > 0,
        "thumb_breaks_by_2_mm": thumb > 2,  # noqa: PLR2004 as the name says
        "overstated": min(
            _error(answer.clear_width, truth.clear_width),
            _error(answer.clear_height, truth.clear_height),
        )
        < -COVERAGE,
        "false_fits_swapped": _fits_unasked(surveyor, swapped_levels(first), too_high),
    }


def _settled(surveyor: Surveyor, measurement: Measurement, frame: Frame) -> tuple[FitAnswer, int]:
    """The answer once it is settled, and how many readings were asked for."""
    answer, asked = _decide(measurement, frame), 0
    while answer.verdict == "inconclusive" and answer.read_next and asked < MOST_ASKED:
        if answer.suspect_readings:
            break
        measurement = surveyor.read(measurement, answer.read_next[0])
        answer, asked = _decide(measurement, frame), asked + 1
    return answer, asked


def _fits_unasked(surveyor: Surveyor, measurement: Measurement, frame: Frame) -> bool:
    """Whether the frame is said to fit and nobody is asked which end of the sill is higher."""
    answer, _ = _settled(surveyor, measurement, frame)
    asked = any((one.kind, one.side) == ("higher_end", "sill") for one in answer.read_next)
    return answer.verdict == "fits" and not asked


def _error(stated: Uncertain, true: float) -> float:
    return (true - stated.value) / stated.standard_uncertainty


def _decide(measurement: Measurement, frame: Frame) -> FitAnswer:
    return decide_fit(FitRequest(measurement, frame, CLEARANCE, MAXIMUM_JOINT, CONFIDENCE))
