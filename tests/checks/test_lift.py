"""The lifting filter against the published figures (HSE L23, from memory)."""

import pytest

from installs.arithmetic.lift import LiftRequest, plan_lift
from installs.services.calculation_rules import lift_rules
from jobs.rules import read_rules, shipped_rule_set_texts

RULES = [lift_rules(read_rules(text)) for text in shipped_rule_set_texts()]

# From memory: HSE L23, figure of lifting and lowering, kg: zone, men close, far, women close, far.
FIGURES = [
    ("shoulder_height_and_above", [10, 5, 7, 3]),
    ("shoulder_to_elbow", [20, 10, 13, 7]),
    ("elbow_to_knuckle", [25, 15, 16, 10]),
    ("knuckle_to_mid_lower_leg", [20, 10, 13, 7]),
    ("below_mid_lower_leg", [10, 5, 7, 3]),
]


@pytest.mark.parametrize("rules", RULES)
@pytest.mark.parametrize(("zone", "figures"), FIGURES)
def test_one_person_alone_is_held_to_the_figure_of_the_zone(rules, zone, figures):
    told = [
        plan_lift(LiftRequest(1, 1, zone, reach=reach, women=women), rules).guideline
        for women, reach in ((0, "close"), (0, "far"), (1, "close"), (1, "far"))
    ]
    assert told == figures


@pytest.mark.parametrize(
    ("people", "women", "guideline"),
    [
        # Closed form from HSE L23: two people two thirds of the sum, three people half of it.
        (2, 0, 33.3),
        (3, 0, 37.5),
        (2, 2, 21.3),
        (3, 3, 24.0),
        (2, 1, 27.3),
    ],
)
def test_a_team_lifts_less_than_the_sum_of_its_people(people, women, guideline):
    answer = plan_lift(LiftRequest(20, people, women=women), RULES[0])
    assert answer.guideline == pytest.approx(guideline, abs=0.05)


@pytest.mark.parametrize(("people", "guideline"), [(2, 13.3), (3, 15.0)])
def test_at_floor_level_a_team_of_men_lifts_hardly_more_than_one(people, guideline):
    # Closed form from HSE L23: the shares of a team on 10 kg below the middle of the lower leg.
    answer = plan_lift(LiftRequest(12, people, "below_mid_lower_leg"), RULES[0])
    assert answer.guideline == pytest.approx(guideline, abs=0.05)


def test_of_several_zones_the_smallest_figure_counts():
    # From memory: HSE L23, where the hands pass through several zones the smallest figure counts.
    answer = plan_lift(
        LiftRequest(20, 2, "elbow_to_knuckle", set_down="below_mid_lower_leg"), RULES[0]
    )
    assert answer.zone == "below_mid_lower_leg"
    assert answer.within_guideline is False


def test_a_pane_of_51_kg_passes_the_filter_for_no_team():
    # Published second-hand and closed form: a pane of 51 kg fails the filter for any team of up to
    # three men (37.5 kg); the answer is an aid, never a ban.
    answer = plan_lift(LiftRequest(51, 3), RULES[0])
    assert (answer.within_guideline, answer.people_needed) == (False, None)
    assert answer.mechanical_aid
    assert any("never a certificate" in caution for caution in answer.cautions)


def test_two_are_needed_where_one_is_not_enough():
    answer = plan_lift(LiftRequest(30, 1), RULES[0])
    assert (answer.within_guideline, answer.people_needed) == (False, 2)
    assert plan_lift(LiftRequest(30, 2), RULES[0]).within_guideline


def test_a_fourth_person_adds_nothing_that_the_guideline_knows():
    # From memory: HSE L23 gives no share for more than three.
    answer = plan_lift(LiftRequest(40, 6), RULES[0])
    assert answer.guideline == 37.5
    assert answer.people_needed is None
