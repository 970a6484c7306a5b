"""Readings that are odd, few, many or impossible."""

from dataclasses import asdict, replace
from math import isfinite, nan

import pytest

from jobs.arithmetic.errors import UnusableInput
from surveys.arithmetic.opening_fit import assess_opening
from surveys.arithmetic.placement import Clearance, Frame
from surveys.arithmetic.readings import Diagonals, Opening, Plumb
from surveys.arithmetic.uncertainty import Instrument
from tests.surveys.openings import CLEARANCE, LASER, LEANING, decide, measured, readings

BARE = Opening(LEANING.widths, LEANING.heights, LEANING.diagonals)


def numbers_in(answer):
    """All numbers of an answer, however deep they lie."""
    if isinstance(answer, dict):
        answer = list(answer.values())
    if isinstance(answer, list | tuple):
        return [number for part in answer for number in numbers_in(part)]
    return [answer] if isinstance(answer, int | float) else []


ODD_OPENINGS = {
    "two widths at one height": replace(LEANING, widths=readings((1000, 3612), (1000, 3613))),
    "three widths at one height": replace(
        LEANING, widths=readings((1000, 3612), (1000, 3613), (1000, 3611))
    ),
    "every width and height at one place, and no levels": replace(
        BARE,
        widths=readings((0, 3612), (0, 3612)),
        heights=readings((0, 2120), (0, 2120)),
    ),
    "no levels and no plumb": BARE,
    "levels without plumb": replace(LEANING, plumb=Plumb()),
    "plumb without levels": replace(LEANING, sill_levels=()),
    "one jamb plumbed": replace(LEANING, plumb=Plumb(left=readings((0, 0), (2100, 14)))),
    "one reading to a line": replace(
        BARE,
        sill_levels=readings((1800, 4)),
        head_levels=readings((0, 2124)),
        plumb=Plumb(readings((1000, 55)), readings((0, -20))),
    ),
    "levels from far off": replace(LEANING, sill_levels=readings((0, 1e5), (3612, 1e5 - 3))),
    "places just beyond the ends": replace(
        LEANING, widths=readings((0, 3612), (2180, 3612)), heights=readings((0, 2120), (3700, 2121))
    ),
    "diagonals that no opening has": replace(LEANING, diagonals=Diagonals(5, 9000)),
    "widths that no opening has": replace(LEANING, widths=readings((100, 3612), (1000, 36))),
}
each_odd_opening = pytest.mark.parametrize("opening", ODD_OPENINGS.values(), ids=ODD_OPENINGS)


@each_odd_opening
@pytest.mark.parametrize("confidence", [0.5, 0.95, 0.99])
def test_every_number_of_an_answer_is_finite(opening, confidence):
    answer = decide(3580, opening=opening, confidence=confidence)
    assert all(isfinite(number) for number in numbers_in(asdict(answer)))
    assert answer.clear_width.standard_uncertainty > 0
    assert answer.clear_height.standard_uncertainty > 0


@pytest.mark.parametrize("opening", ["diagonals that no opening has", "widths that no opening has"])
def test_what_no_opening_has_contradicts_itself(opening):
    assert decide(3580, opening=ODD_OPENINGS[opening]).suspect_readings


@pytest.mark.parametrize(
    "opening", ["two widths at one height", "three widths at one height", "no levels and no plumb"]
)
def test_what_was_not_measured_makes_the_answer_less_certain(opening):
    width = assess_opening(measured(), CLEARANCE, 0.95).clear_width
    guessed = assess_opening(measured(ODD_OPENINGS[opening]), CLEARANCE, 0.95).clear_width
    assert guessed.standard_uncertainty > width.standard_uncertainty
    assert guessed.value == pytest.approx(width.value, abs=3 * guessed.standard_uncertainty)


def test_one_reading_of_a_line_tells_nothing_of_the_opening():
    bare, lined = (
        decide(3580, opening=ODD_OPENINGS[name])
        for name in ("no levels and no plumb", "one reading to a line")
    )
    assert lined.shape.left_lean == pytest.approx(bare.shape.left_lean, abs=0.01)
    assert lined.adjustment.degrees_of_freedom == bare.adjustment.degrees_of_freedom
    assert lined.clear_width.standard_uncertainty == pytest.approx(
        # Drawn anew for another number of readings.
        bare.clear_width.standard_uncertainty,
        rel=0.05,
    )


@pytest.mark.parametrize(("width", "height"), [(4000, 2105), (3580, 2500), (40000, 25000)])
def test_a_frame_larger_than_its_opening_does_not_fit_and_says_by_how_much(width, height):
    answer = decide(width, height)
    assert answer.verdict == "does_not_fit"
    assert all(isfinite(number) for number in numbers_in(asdict(answer)))
    # Where it overlaps the wall its joints are below 0.
    members = [*(["left", "right"] if width > 3612 else []), *(["head"] if height > 2120 else [])]
    assert all(answer.joints[member].max < 0 for member in members)


def test_a_frame_of_a_millimetre_fits_and_every_joint_is_a_warning():
    answer = decide(1, 1)
    assert answer.verdict == "fits"
    assert sum("The joint at" in warning for warning in answer.warnings) == 3


def test_more_confidence_never_allows_a_larger_frame():
    half, most = (assess_opening(measured(), CLEARANCE, c).largest_frame for c in (0.5, 0.99))
    assert most.width < half.width
    assert most.height < half.height


@pytest.mark.parametrize("confidence", [0, 0.49, 0.991, 1, 95, nan])
def test_a_confidence_beyond_its_ends_is_refused_and_its_ends_are_named(confidence):
    with pytest.raises(UnusableInput, match=r"0\.5 to 0\.99") as refusal:
        decide(3580, confidence=confidence)
    assert refusal.value.pointer == "/confidence"


TOO_HIGH = readings((0, 0), (5000, 14))


@pytest.mark.parametrize(
    ("wrong", "pointer", "allowed"),
    [
        ({"widths": readings((100, 3612), (5000, 3612))}, "/opening/widths/1/at", "0 to 2121"),
        ({"widths": readings((-1, 3612), (900, 3612))}, "/opening/widths/0/at", "0 to 2121"),
        ({"heights": readings((nan, 2120), (9, 2120))}, "/opening/heights/0", "finite"),
        ({"heights": readings((9, 2120), (9000, 2120))}, "/opening/heights/1/at", "0 to 3612"),
        ({"sill_levels": readings((0, 0), (8612, 1))}, "/opening/sill_levels/1/at", "0 to 3612"),
        ({"head_levels": readings((-5, 2120))}, "/opening/head_levels/0/at", "0 to 3612"),
        ({"plumb": Plumb(left=TOO_HIGH)}, "/opening/plumb/left/1/at", "0 to 2121"),
        ({"plumb": Plumb(right=TOO_HIGH)}, "/opening/plumb/right/1/at", "0 to 2121"),
    ],
)
def test_a_place_that_lies_outside_the_opening_is_refused_and_what_is_allowed_is_told(
    wrong, pointer, allowed
):
    with pytest.raises(UnusableInput) as refusal:
        decide(3580, opening=replace(LEANING, **wrong))
    assert refusal.value.pointer == pointer
    assert allowed in refusal.value.detail


def test_forty_readings_are_solved():
    many = readings(*((100 + 50 * k, 3612) for k in range(38)))
    assert not decide(3580, opening=replace(LEANING, widths=many)).suspect_readings


@pytest.mark.parametrize(
    ("opening", "level", "pointer"),
    [
        (replace(LEANING, widths=readings((100, 3612))), LASER, "/opening/widths"),
        (replace(LEANING, heights=readings()), LASER, "/opening/heights"),
        (LEANING, None, "/level_instrument"),
        (
            replace(LEANING, diagonals=Diagonals(float("nan"), 4178)),
            LASER,
            "/opening/diagonals/rising",
        ),
        (
            replace(LEANING, heights=readings((0, 2120), (9, float("inf")))),
            LASER,
            "/opening/heights/1/value",
        ),
        (
            replace(LEANING, widths=readings((0, -3612), (9, 3612))),
            LASER,
            "/opening/widths/0/value",
        ),
        (
            replace(LEANING, sill_levels=readings((0, float("nan")))),
            LASER,
            "/opening/sill_levels/0",
        ),
        (LEANING, Instrument("laser"), "/level_instrument/expanded_uncertainty"),
    ],
)
def test_a_set_that_cannot_be_adjusted_is_refused_by_field(opening, level, pointer):
    with pytest.raises(UnusableInput) as refusal:
        assess_opening(measured(opening, level), CLEARANCE, 0.95)
    assert refusal.value.pointer == pointer


@pytest.mark.parametrize(
    ("values", "pointer"),
    [
        ({"frame": Frame(float("nan"), 2100)}, "/frame/width"),
        ({"frame": Frame(3580, 0)}, "/frame/height"),
        ({"clearance": Clearance(5, float("inf"), 5, 0)}, "/clearance/right"),
        ({"maximum_joint": -1}, "/maximum_joint"),
    ],
)
def test_a_request_out_of_range_is_refused_by_field(values, pointer):
    with pytest.raises(UnusableInput) as refusal:
        decide(3580, **values)
    assert refusal.value.pointer == pointer
