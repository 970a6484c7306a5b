from math import sqrt

import pytest

from installs.arithmetic.criteria import Criterion, PlacedValue, judge_step, readings_by_place
from installs.arithmetic.differences import difference_uncertainty
from jobs.arithmetic.errors import UnusableInput
from surveys.arithmetic.uncertainty import Instrument

TAPE = Instrument("tape", "II", from_end_hook=True)
LASER = Instrument("laser", expanded_uncertainty=1.0, coverage_factor=2)


def criterion(method: str, *of: str, lower: float | None = -2.0, upper: float | None = 2.0):
    return Criterion(lower, upper, "mm", "a test", method, of, 300, 20000)


SQUARE = {"diagonal_difference": criterion("difference", "rising", "falling")}
LEVEL = {"range": criterion("spread", "left", "middle", "right", lower=None)}


def judge(criteria, measured, instrument=TAPE):
    return judge_step(criteria, measured, instrument, 0.95)


def test_a_difference_keeps_its_sign_and_what_it_was_worked_out_from():
    (judged,) = judge(SQUARE, {"rising": 4163, "falling": 4164})
    assert judged.value == -1
    assert judged.measured == {"rising": 4163, "falling": 4164}


def test_a_spread_is_the_greatest_less_the_least_wherever_they_are():
    (judged,) = judge(LEVEL, {"left": 2001, "middle": 2003, "right": 2000})
    assert judged.value == 3


# Closed form: a class II tape is off by at most 0.3 + 0.2 = 0.5 mm over a metre or less (published:
# Directive 2014/32/EU Annex X), so 0.5/sqrt 3; two reading steps of 1 mm, each 1/sqrt 12.
def test_what_two_readings_of_a_tape_share_does_not_blur_their_difference():
    expected = sqrt(0.5**2 / 3 + 2 * 1 / 12)
    assert difference_uncertainty(TAPE, 1.0) == pytest.approx(expected)
    assert difference_uncertainty(TAPE, 0.0) == pytest.approx(expected)


# Closed form: two independent readings, each (1.0/2)^2 + 1/12.
def test_readings_of_a_laser_count_as_independent():
    assert difference_uncertainty(LASER, 1.0) == pytest.approx(sqrt(2 * (0.25 + 1 / 12)))


@pytest.mark.parametrize(
    ("falling", "decision"),
    [(4163, "pass"), (4162, "pass"), (4161, "inconclusive"), (4159, "fail")],
)
def test_a_frame_is_square_out_of_square_or_too_close_to_call(falling, decision):
    (judged,) = judge(SQUARE, {"rising": 4163, "falling": falling})
    assert judged.decision == decision


def test_things_that_are_counted_are_known_exactly():
    count = {"count": Criterion(20, 20, "beads", "a test", "count", ("count",), 0, 1000)}
    (right,) = judge(count, {"count": 20}, instrument=None)
    (wrong,) = judge(count, {"count": 19}, instrument=None)
    assert (right.decision, right.standard_uncertainty) == ("pass", 0)
    assert wrong.decision == "fail"


def refused(readings: list[tuple[str, float]]) -> tuple[str, str]:
    with pytest.raises(UnusableInput) as error:
        readings_by_place(SQUARE, [PlacedValue(*reading) for reading in readings])
    return error.value.pointer, error.value.detail


def test_a_place_that_the_step_does_not_have_is_named_with_those_it_has():
    pointer, detail = refused([("rising", 4163), ("sideways", 4163)])
    assert pointer == "/readings/1/place"
    assert "rising, falling" in detail


def test_a_place_that_is_missing_is_named():
    assert refused([("rising", 4163)]) == ("/readings", "still to be read: falling")


def test_a_place_that_is_read_twice_is_refused():
    assert refused([("rising", 4163), ("rising", 4164)])[0] == "/readings/1/place"


def test_metres_are_recognised():
    pointer, detail = refused([("rising", 4.163), ("falling", 4163)])
    assert pointer == "/readings/0/value"
    assert "looks like metres" in detail
