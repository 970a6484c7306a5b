"""What a crew takes along: screws by length, packers by thickness, blocks and sealant."""

from dataclasses import replace

import pytest

from installs.arithmetic.kit import Hold, KitRules, PackerCount, packers_of, screws_at, screws_of
from installs.arithmetic.members import PlannedFixing, PlannedMember
from installs.arithmetic.packers import PackerStack
from installs.services.calculation_rules import kit_rules
from surveys.api.conditions import SUBSTRATES
from tests import factories
from tests.checks.rule_sets import GENERAL

RULES = KitRules((72, 92, 112, 132), {"brick": Hold(50, 60), "timber": Hold(40, 25)})


def stack(*pieces):
    return PackerStack(sum(pieces), pieces, sum(pieces), 0.0, within=True)


def member(*stacks):
    fixings = tuple(PlannedFixing(150 + 500 * i, "through_jamb", s) for i, s in enumerate(stacks))
    places = tuple(fixing.position for fixing in fixings)
    return PlannedMember("left", 2100, (), None, places, (), len(places), None, None, fixings, ())


# By hand: 60 mm of profile, 8 mm of packers and 50 mm of brick are 118 mm; 132 is the first that is
# sold as long. Without packers 110 mm: a screw of 112.
def test_a_screw_is_as_long_as_frame_packers_and_embedment_together():
    short, long = screws_of(member(stack(), stack(5, 3), stack()), "brick", 60, RULES)
    assert (short.length, short.least, short.count) == (112, 110, 2)
    assert (long.length, long.least, long.count) == (132, 118, 1)
    assert (long.embedment, long.edge_distance) == (50, 60)


def test_a_screw_that_is_just_as_long_as_is_wanted_is_long_enough():
    [screws] = screws_of(member(stack(2)), "brick", 60, RULES)
    assert (screws.least, screws.length) == (112, 112)


def test_where_none_that_is_sold_is_long_enough_the_plan_says_so():
    [screws] = screws_of(member(stack(10, 10, 3)), "brick", 60, RULES)
    assert (screws.length, screws.least) == (None, 133)


def test_packers_that_nobody_measured_are_not_in_the_length():
    [screws] = screws_of(member(None, None), "timber", 60, RULES)
    assert (screws.least, screws.length, screws.joint_measured) == (100, 112, False)


def test_the_longer_screw_goes_where_more_packers_are():
    planned = member(stack(), stack(5, 3), stack())
    screws = screws_at(planned, screws_of(planned, "brick", 60, RULES))
    assert {place: one.length for place, one in screws.items()} == {150: 112, 650: 132, 1150: 112}


def test_screws_of_another_member_go_nowhere():
    planned = member(stack())
    screws = screws_of(replace(planned, name="right"), "brick", 60, RULES)
    assert screws_at(planned, screws) == {}


def test_a_wall_that_no_rule_knows_gets_no_screws():
    assert screws_of(member(stack()), "straw", 60, RULES) == ()


def test_packers_are_counted_by_their_thickness():
    assert packers_of([member(stack(5, 3), stack(5)), member(stack(3), None)]) == (
        PackerCount(5, 2),
        PackerCount(3, 2),
    )


def test_the_rule_set_knows_every_wall_that_a_survey_can_name():
    assert set(kit_rules(GENERAL).holds) == set(SUBSTRATES)


@pytest.mark.django_db
def test_a_plan_counts_a_screw_for_every_fixing_and_every_packer_of_its_layout(office, fitter, job):
    plan = factories.installation(office, fitter, job).plan
    members = plan.fixing_layout.members
    for planned in members:
        held = [screws.count for screws in plan.kit.screws if screws.member == planned.name]
        assert sum(held) == len(planned.fixings)
    stacks = [place.packers for member in members for place in member.packed if place.packers]
    counted = [packers.count for packers in plan.kit.packers]
    assert sum(counted) == sum(len(one.pieces) for one in stacks)
    assert plan.kit.sealant_run == 2 * (plan.frame.width + plan.frame.height)
    assert "firm's own limit" in min(plan.kit.sources, key=len)
