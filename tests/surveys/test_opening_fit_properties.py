"""What must hold of every opening, over simulated surveys."""

from dataclasses import dataclass, replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from surveys.arithmetic.answers import FitAnswer
from surveys.arithmetic.fit_request import FitRequest
from surveys.arithmetic.opening_fit import assess_opening, decide_fit
from surveys.arithmetic.placement import Clearance, Frame
from surveys.arithmetic.readings import Diagonals, Measurement, Opening, PlacedReading, Plumb
from surveys.arithmetic.simulated_survey import Surveyor
from surveys.arithmetic.simulated_walls import SHAPES
from tests.surveys.openings import CLEARANCE, PRIORS


@dataclass(frozen=True, slots=True)
class SimulatedSurvey:
    measurement: Measurement
    clear_width: float
    clear_height: float


def simulate(shape: str, seed: int) -> SimulatedSurvey:
    surveyor = Surveyor.of(np.random.default_rng(seed), SHAPES[shape], "none")
    truth = surveyor.truth
    return SimulatedSurvey(surveyor.survey(PRIORS), truth.clear_width, truth.clear_height)


surveys = st.builds(simulate, st.sampled_from(sorted(SHAPES)), st.integers(0, 2**32 - 1))
rooms = st.floats(-3, 30)
# The draws are not mirrored, so means of 2048 of them differ; their deviations are below 6 mm.
SAME_SHAPE_MM = 1.0
SAME_DRAWN_MM = 0.8
SAME_JOINT_MM = 1.2
# One draw of them more or less.
SAME_PROBABILITY = 2 / 2048


def decide(measurement: Measurement, width: float, height: float) -> FitAnswer:
    return decide_fit(FitRequest(measurement, Frame(width, height), CLEARANCE, 1000, 0.95))


def decide_with(survey: SimulatedSurvey, room: float, height: float | None = None) -> FitAnswer:
    """About a frame that leaves so much room in the width, mm."""
    width = survey.clear_width - CLEARANCE.left - CLEARANCE.right - room
    return decide(survey.measurement, width, height or survey.clear_height - CLEARANCE.head - 5)


def mirrored(measurement: Measurement) -> Measurement:
    """The same opening seen from inside. A place beyond the mean width lies at its end."""
    opening = measurement.opening
    width = sum(r.value for r in opening.widths) / len(opening.widths)

    def turn(placed):
        return tuple(PlacedReading(max(width - r.at, 0.0), r.value) for r in reversed(placed))

    def negate(placed):
        return tuple(PlacedReading(r.at, -r.value) for r in placed)

    turned = Opening(
        widths=opening.widths,
        heights=turn(opening.heights),
        diagonals=Diagonals(opening.diagonals.falling, opening.diagonals.rising),
        sill_levels=turn(opening.sill_levels),
        head_levels=turn(opening.head_levels),
        plumb=Plumb(negate(opening.plumb.right), negate(opening.plumb.left)),
    )
    return replace(measurement, opening=turned)


def turned_round(survey: SimulatedSurvey) -> SimulatedSurvey:
    return replace(survey, measurement=mirrored(survey.measurement))


@given(surveys, rooms)
def test_a_mirrored_opening_has_its_shape_mirrored(survey, room):
    seen, turned = decide_with(survey, room).shape, decide_with(turned_round(survey), room).shape
    assert turned.left_lean == pytest.approx(-seen.right_lean, abs=SAME_SHAPE_MM)
    assert turned.right_lean == pytest.approx(-seen.left_lean, abs=SAME_SHAPE_MM)
    assert turned.left_bow == pytest.approx(-seen.right_bow, abs=SAME_SHAPE_MM)
    assert turned.sill_fall == pytest.approx(-seen.sill_fall, abs=SAME_SHAPE_MM)
    assert turned.head_fall == pytest.approx(-seen.head_fall, abs=SAME_SHAPE_MM)
    assert turned.sill_bow == pytest.approx(seen.sill_bow, abs=SAME_SHAPE_MM)


@given(surveys, rooms)
def test_a_mirrored_opening_has_the_same_clear_sizes_and_joints_on_the_other_side(survey, room):
    seen, turned = decide_with(survey, room), decide_with(turned_round(survey), room)
    for size in ("clear_width", "clear_height"):
        assert getattr(turned, size).value == pytest.approx(
            getattr(seen, size).value, abs=SAME_DRAWN_MM
        )
    for here, there in (("left", "right"), ("right", "left"), ("head", "head"), ("sill", "sill")):
        joint, other = turned.joints[here], seen.joints[there]
        assert joint.min == pytest.approx(other.min, abs=SAME_JOINT_MM)
        assert joint.max == pytest.approx(other.max, abs=SAME_JOINT_MM)


more = st.floats(0, 30)


@given(surveys, st.tuples(more, more, more, more))
def test_more_clearance_never_allows_a_larger_frame(survey, added):
    wanted = Clearance(
        CLEARANCE.left + added[0],
        CLEARANCE.right + added[1],
        CLEARANCE.head + added[2],
        CLEARANCE.sill + added[3],
    )
    least = assess_opening(survey.measurement, CLEARANCE, 0.95).largest_frame
    larger = assess_opening(survey.measurement, wanted, 0.95).largest_frame
    assert larger.width <= least.width
    assert larger.height <= least.height


@given(surveys, st.floats(-3, 8), st.floats(-3, 8), st.sampled_from([(1, 0), (0, 1)]))
def test_a_millimetre_more_of_frame_never_makes_it_likelier_to_fit(survey, across, upward, added):
    width = survey.clear_width - CLEARANCE.left - CLEARANCE.right - across
    height = survey.clear_height - CLEARANCE.head - upward
    smaller = decide(survey.measurement, width, height)
    larger = decide(survey.measurement, width + added[0], height + added[1])
    # A wider frame may stand a hair higher, on a sill that bows, and meet other jambs there.
    assert larger.probability_fits <= smaller.probability_fits + SAME_PROBABILITY


@given(surveys, rooms, st.floats(600, 1900), st.floats(0, 600))
def test_a_taller_frame_never_has_more_clear_width(survey, room, height, added):
    lower = decide_with(survey, room, height).clear_width.value
    taller = decide_with(survey, room, height + added).clear_width.value
    assert taller <= lower + 1e-9


@given(surveys)
def test_the_largest_frame_fits_every_opening_whose_readings_agree(survey):
    assessed = assess_opening(survey.measurement, CLEARANCE, 0.95)
    largest = assessed.largest_frame
    answer = decide(survey.measurement, largest.width, largest.height)
    assert answer.verdict == ("inconclusive" if assessed.contradictory else "fits")
