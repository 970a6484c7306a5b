from dataclasses import replace

import pytest

from surveys.arithmetic.opening_fit import assess_opening
from surveys.arithmetic.readings import Diagonals, Opening
from tests.surveys.openings import CLEARANCE, CROOKED, LEANING, decide, measured, readings


def test_a_leaning_opening_refuses_the_frame_that_its_widths_alone_would_allow():
    by_rule_of_thumb = 3612 - 15
    assert decide(by_rule_of_thumb).verdict == "does_not_fit"


def test_the_largest_frame_fits_and_one_beyond_the_uncertainty_does_not():
    answer = decide(3500)
    largest, clear = answer.largest_frame, answer.clear_width
    too_wide = clear.value - 15 + 2.5 * clear.standard_uncertainty
    assert decide(largest.width, largest.height).verdict == "fits"
    assert decide(too_wide, largest.height).verdict == "does_not_fit"


def test_the_largest_frame_is_the_same_whatever_frame_is_asked_about():
    of_a_low_frame = decide(3580, 600).largest_frame
    assert of_a_low_frame == decide(3580, 2105).largest_frame
    assert decide(of_a_low_frame.width, of_a_low_frame.height).verdict == "fits"


def test_a_frame_well_inside_is_never_claimed_beyond_what_can_be_told():
    assert 0.99 < decide(3500).probability_fits < 1
    assert 0 < decide(4000).probability_fits < 0.01


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


def test_an_opening_far_out_of_plumb_is_no_contradiction_where_its_readings_agree():
    assessment = assess_opening(measured(CROOKED), CLEARANCE, 0.95)
    assert not assessment.contradictory
    # What is usual for openings must not pull the answer its way.
    assert assessment.shape.left_lean == pytest.approx(60, abs=1)
    assert assessment.shape.sill_fall == pytest.approx(40, abs=1)


def test_an_opening_far_out_of_plumb_is_pointed_out():
    warnings = decide(3500, 2040, opening=CROOKED).warnings
    assert any("plumb left jamb" in warning for warning in warnings)


def test_no_wall_that_nobody_saw_explains_a_contradiction_away():
    """Widths near the ends of the jambs, 18 mm wider than the diagonals allow."""
    assessment = assess_opening(
        measured(replace(LEANING, widths=readings((100, 3630), (2020, 3630)))), CLEARANCE, 0.95
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
