from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from jobs.arithmetic.errors import UnusableInput
from surveys.arithmetic.fit_request import FitRequest
from surveys.arithmetic.opening_fit import assess_opening, decide_fit
from surveys.arithmetic.placement import Clearance, Frame
from surveys.arithmetic.readings import (
    Diagonals,
    Measurement,
    Opening,
    PlacedReading,
    Plumb,
    Priors,
)
from surveys.arithmetic.simulation import study
from surveys.arithmetic.uncertainty import Instrument

PRIORS = Priors(straightness=3, levelness=10, plumbness=10)
TAPE = Instrument("tape", "II")
LASER = Instrument("laser", expanded_uncertainty=1.0, coverage_factor=2.0)
CLEARANCE = Clearance(7.5, 7.5, 5, 0)


def readings(*pairs):
    return tuple(PlacedReading(float(at), float(value)) for at, value in pairs)


# Every width reads 3612, but both jambs lean 14 mm to the right over the height.
LEANING = Opening(
    widths=readings((100, 3612), (1060, 3612), (2020, 3612)),
    heights=readings((100, 2120), (1800, 2120), (3500, 2121)),
    diagonals=Diagonals(4199, 4178),
    sill_levels=readings((0, 0), (1806, -1), (3612, -3)),
    plumb=Plumb(readings((0, 0), (2100, 14)), readings((0, 0), (2100, 14))),
)


def measured(opening: Opening = LEANING, level: Instrument | None = LASER) -> Measurement:
    return Measurement(opening, TAPE, level, PRIORS)


def decide(width: float, height: float = 2105, opening: Opening = LEANING, **values):
    request = FitRequest(measured(opening), Frame(width, height), CLEARANCE, 15, 0.95)
    return decide_fit(replace(request, **values))


def test_a_leaning_opening_refuses_the_frame_that_its_widths_alone_would_allow():
    by_rule_of_thumb = 3612 - 15
    assert decide(by_rule_of_thumb).verdict == "does_not_fit"


def test_the_largest_frame_fits_and_two_millimetres_more_do_not():
    largest = decide(3500).largest_frame
    assert decide(largest.width, largest.height).verdict == "fits"
    assert decide(largest.width + 4, largest.height).verdict == "does_not_fit"


def test_the_largest_frame_is_the_same_whatever_frame_is_asked_about():
    of_a_low_frame = decide(3580, 600).largest_frame
    assert of_a_low_frame == decide(3580, 2105).largest_frame
    assert decide(of_a_low_frame.width, of_a_low_frame.height).verdict == "fits"


def test_a_frame_well_inside_is_never_claimed_beyond_what_can_be_told():
    assert 0.999 < decide(3500).probability_fits < 1
    assert 0 < decide(4000).probability_fits < 0.001


def test_an_undecided_size_names_the_reading_that_would_settle_it():
    answer = decide(3583)
    assert answer.verdict == "inconclusive"
    assert "settle" in answer.warnings[0]
    assert "jamb" in answer.warnings[0] or "width" in answer.warnings[0]


def test_a_misread_diagonal_is_caught_and_its_likely_value_told():
    wrong = replace(LEANING, diagonals=Diagonals(4199 - 45, 4178))
    answer = decide(3580, opening=wrong)
    assert answer.verdict == "inconclusive"
    suspect = answer.suspect_readings[0]
    assert suspect.reading == "diagonals.rising"
    assert suspect.likely_value == pytest.approx(4199, abs=4)


# An old house. Corners (0, 0), (3612, 40), (3672, 2120), (60, 2120): both jambs lean 60 mm to the
# right and the sill rises 40. Closed form: hypot(3672, 2120) and hypot(3612 - 60, 2120 - 40).
CROOKED = Opening(
    widths=readings((100, 3612), (1060, 3612), (2020, 3612)),
    heights=readings((100, 2119), (1806, 2100), (3512, 2081)),
    diagonals=Diagonals(4240, 4116),
    sill_levels=readings((0, 0), (1806, 20), (3612, 40)),
    plumb=Plumb(readings((0, 0), (2120, 60)), readings((0, 0), (2120, 60))),
)


def test_an_opening_far_out_of_plumb_is_no_contradiction_where_its_readings_agree():
    assessment = assess_opening(measured(CROOKED), CLEARANCE, 0.95)
    assert not assessment.contradictory
    # What is usual for openings must not pull the answer its way.
    assert assessment.shape.left_lean == pytest.approx(60, abs=1)
    assert assessment.shape.sill_fall == pytest.approx(40, abs=1)


def test_an_opening_far_out_of_plumb_is_pointed_out():
    warnings = decide(3500, 2040, opening=CROOKED).warnings
    assert any("plumb left jamb" in warning for warning in warnings)


def test_no_bow_that_nobody_measured_explains_a_contradiction_away():
    """Widths near the ends of the jambs, 6 mm wider than the diagonals allow."""
    assessment = assess_opening(
        measured(replace(LEANING, widths=readings((100, 3618), (2020, 3618)))), CLEARANCE, 0.95
    )
    assert assessment.contradictory
    assert abs(assessment.shape.left_bow) < 15


def test_a_misread_width_is_caught_in_a_crooked_opening_too():
    wrong = replace(CROOKED, widths=readings((100, 3612), (1060, 3630), (2020, 3612)))
    answer = decide(3500, 2040, opening=wrong)
    assert answer.verdict == "inconclusive"
    assert "widths.1" in [suspect.reading for suspect in answer.suspect_readings]


def test_the_joint_all_round_adds_up_to_the_opening():
    answer = decide(3580)
    left, right = answer.joints["left"], answer.joints["right"]
    assert min(left.min, right.min) >= CLEARANCE.left
    # Spare width is shared equally.
    assert left.min == pytest.approx(right.min, abs=1e-9)


def test_a_joint_beyond_the_allowed_is_a_warning_that_names_the_place():
    warnings = decide(3580).warnings
    assert any("joint at the left" in warning for warning in warnings)


def test_the_frame_stands_above_the_highest_point_of_the_sill():
    clearance = replace(CLEARANCE, sill=3)
    answer = decide(3580, 2100, clearance=clearance)
    assert answer.joints["sill"].min == pytest.approx(3, abs=0.05)


def test_an_opening_without_levels_or_plumb_is_still_solved_with_less_certainty():
    bare = Opening(LEANING.widths, LEANING.heights, LEANING.diagonals)
    with_lines = assess_opening(measured(), CLEARANCE, 0.95)
    without = assess_opening(measured(bare, None), CLEARANCE, 0.95)
    assert without.clear_width.standard_uncertainty > with_lines.clear_width.standard_uncertainty
    assert without.largest_frame.width <= with_lines.largest_frame.width


def test_two_widths_at_the_same_height_are_solved_with_the_help_of_what_is_known():
    opening = replace(LEANING, widths=readings((1000, 3612), (1000, 3613)))
    assert assess_opening(measured(opening), CLEARANCE, 0.95).clear_width.value > 3500


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
            replace(LEANING, widths=readings((100, 3612), (9000, 3612))),
            LASER,
            "/opening/widths/1/at",
        ),
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
        ({"confidence": 0.9999}, "/confidence"),
    ],
)
def test_a_request_out_of_range_is_refused_by_field(values, pointer):
    with pytest.raises(UnusableInput) as refusal:
        decide(3580, **values)
    assert refusal.value.pointer == pointer


def mirrored(opening: Opening) -> Opening:
    """The same opening seen from inside. A place beyond the mean width lies at its end."""
    width = sum(r.value for r in opening.widths) / len(opening.widths)

    def turn(placed):
        return tuple(PlacedReading(max(width - r.at, 0.0), r.value) for r in placed)

    def negate(placed):
        return tuple(PlacedReading(r.at, -r.value) for r in placed)

    return Opening(
        widths=opening.widths,
        heights=turn(opening.heights),
        diagonals=Diagonals(opening.diagonals.falling, opening.diagonals.rising),
        sill_levels=turn(opening.sill_levels),
        plumb=Plumb(negate(opening.plumb.right), negate(opening.plumb.left)),
    )


offsets = st.integers(-6, 6)


@settings(max_examples=40, deadline=None)
@given(st.tuples(*[offsets] * 4), st.floats(0, 4))
def test_a_mirrored_opening_has_mirrored_answers(noise, extra):
    opening = replace(
        LEANING,
        widths=readings((100, 3612 + noise[0]), (2020, 3612 + noise[0])),
        plumb=Plumb(
            readings((0, 0), (2100, 14 + noise[1])), readings((0, 0), (2100, 14 + noise[2]))
        ),
    )
    seen, turned = decide(3570, opening=opening), decide(3570, opening=mirrored(opening))
    # Heights count from the foot of the left jamb, which after turning is the other one's.
    assert turned.joints["left"].max == pytest.approx(seen.joints["right"].max, abs=0.1)
    assert turned.shape.left_lean == pytest.approx(-seen.shape.right_lean, abs=0.001)
    # The draws are not mirrored.
    assert turned.clear_width.value == pytest.approx(seen.clear_width.value, abs=0.1)


@settings(max_examples=40, deadline=None)
@given(st.floats(0, 30), st.floats(0, 30))
def test_more_clearance_never_allows_a_larger_frame(side, head):
    more = Clearance(7.5 + side, 7.5 + side, 5 + head, 0)
    least = assess_opening(measured(), CLEARANCE, 0.95).largest_frame
    larger = assess_opening(measured(), more, 0.95).largest_frame
    assert larger.width <= least.width
    assert larger.height <= least.height


def test_simulated_surveys_mislead_as_seldom_as_they_must():
    """The bars of the study on a smaller sample; `manage.py study_opening_fit` runs the whole."""
    result = study(250, seed=7, priors=PRIORS)
    assert result.false_fits <= 0.03
    assert result.false_fits_by_height <= 0.03
    # Uncertainties are stated rightly: true errors are about as large as they say.
    assert 0.8 <= result.width_error_over_uncertainty <= 1.2
    assert 0.8 <= result.height_error_over_uncertainty <= 1.2
    assert result.inconclusive_with_room <= 0.10
    assert result.false_contradictions <= 0.02
    assert result.blunders_reported >= 0.95
    assert result.culprits_named >= 0.90
    assert result.suspects_on_average <= 4
    # The reason for all of this: envelopes order frames too wide.
    assert result.thumb_overshoots > 0.7
