"""How a doorset gets in, for doorsets whose masses tests/checks/test_lift.py works out by hand.

From memory: HSE L23, hands low: two men lift 26.7 kg, three 30 kg, no team more.
"""

from dataclasses import replace

import pytest

from installs.arithmetic.access import judge_access
from installs.arithmetic.lift_ways import lift_ways
from installs.services.calculation_rules import access_rules, lift_rules
from installs.services.lift_plan import team_of
from jobs.arithmetic.doorset import Size
from surveys.arithmetic.way_in import Corner, WayIn
from tests.checks.doorsets import REQUEST, doorset
from tests.checks.rule_sets import RULE_SETS

RULES = RULE_SETS[0]
WIDE = WayIn(passage_width=1500, passage_height=2400)


def ways(sashes="hung", glass="loose"):
    system = replace(REQUEST.profile_system, sashes=sashes, glass=glass)
    return lift_ways(doorset(RULES, profile_system=system), Size(3590, 2100), 70)


def access(way_in=WIDE, sashes="hung", glass="loose", **more):
    return judge_access(
        ways(sashes, glass), way_in, team_of(lift_rules(RULES)), access_rules(RULES), **more
    )


def masses(sashes, glass):
    return [
        (way.name, *(round(part.burden.mass, 1) for part in way.parts))
        for way in ways(sashes, glass)
    ]


@pytest.mark.parametrize(
    ("comes", "lifted"),
    [
        (("hung", "loose"), [("as_it_is", 100.9, 27.9), ("sashes_off", 27.3, 14.7, 27.9)]),
        (
            ("hung", "fitted"),
            [
                ("as_it_is", 240.6),
                ("sashes_off", 27.3, 42.7),
                ("glass_by_glass", 27.3, 14.7, 27.9),
            ],
        ),
        (("loose", "loose"), [("as_it_is", 27.3, 14.7, 27.9)]),
        (
            ("loose", "fitted"),
            [("as_it_is", 27.3, 42.7), ("glass_by_glass", 27.3, 14.7, 27.9)],
        ),
    ],
)
def test_each_way_to_take_a_doorset_apart_lists_what_is_then_lifted(comes, lifted):
    assert masses(*comes) == lifted


@pytest.mark.parametrize(
    ("comes", "verdict"),
    [
        (("loose", "loose"), "as_it_is"),
        (("hung", "loose"), "sashes_off"),
        (("hung", "fitted"), "glass_by_glass"),
        (("loose", "fitted"), "glass_by_glass"),
    ],
)
def test_the_first_way_that_a_team_carries_is_taken(comes, verdict):
    answer = access(WIDE, *comes)
    assert answer.verdict == verdict
    assert all(part.passes for part in answer.parts)
    assert answer.not_measured == ()


def test_a_frame_that_does_not_pass_names_what_stops_it_and_what_else_there_is():
    answer = access(WayIn(passage_height=2400, corners=(Corner(900, 1000),)))
    assert answer.verdict == "does_not_pass"
    assert answer.what.startswith("It does not pass the way in: corner 1, between passages of 900")
    assert answer.not_measured == ("passage_width",)
    assert any("specialist with a crane" in advice for advice in answer.advice)
    assert any("comes in parts" in advice for advice in answer.advice)


def test_on_steps_the_lowest_carries_more_and_the_team_may_no_longer_do():
    """Three carry the frame alone on the flat: 27.3 of 30 kg. On three steps the lowest carries
    0.396 of it, as if all weighed 32.5 kg, which is more than any team lifts (by hand, from the
    tilt of 660 mm between hands 3346 mm apart and k = 1366.3 mm)."""
    flat, stepped = access(WIDE), access(replace(WIDE, steps=3))
    assert (flat.verdict, stepped.verdict) == ("sashes_off", "with_aid")
    bare = access(replace(WIDE, steps=3), "loose").parts[0]
    assert bare.people_needed is None
    assert bare.on_steps is not None
    assert bare.on_steps.lowest_share == pytest.approx(0.396, abs=0.001)


def test_one_step_is_carried_by_three():
    answer = access(replace(WIDE, steps=1), "loose")
    assert answer.verdict == "as_it_is"
    assert answer.parts[0].people_needed == 3
    assert any("carries 35 % of the frame: it needs 3 people" in advice for advice in answer.advice)


def test_what_is_as_high_as_it_is_long_is_not_carried_upright_on_a_stair():
    """By hand, two at 0.211 of 2000 mm: the lowest carries 1/2 + 1000 x tan 42 / 1155 = 1.28 of
    it, so that the other would have to pull; three do no better."""
    square = lift_ways(doorset(RULES), Size(2000, 2000), 70)[-1:]
    stair = WayIn(passage_height=2400, steps=13)
    answer = judge_access(square, stair, team_of(lift_rules(RULES)), access_rules(RULES))
    assert answer.verdict == "with_aid"
    assert any(advice.startswith("Do not carry the frame upright") for advice in answer.advice)
    assert answer.parts[0].people_needed is None


def test_a_way_beyond_ten_metres_wants_a_rest():
    # From memory: HSE L23, carrying: about 10 m without a rest.
    near, far = access(replace(WIDE, distance=10)), access(replace(WIDE, distance=25))
    assert not any("25 m" in advice for advice in near.advice)
    assert any("The way is 25 m; the guideline is for 10 m" in advice for advice in far.advice)


def test_lifting_gear_that_the_survey_asks_for_is_planned():
    assert any("planned before anybody lifts" in advice for advice in access(gear=True).advice)
    assert not any("planned before anybody lifts" in advice for advice in access().advice)


def test_every_answer_says_to_walk_the_way_first():
    assert any("Walk the way with a lath" in advice for advice in access().advice)
