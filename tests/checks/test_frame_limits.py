"""Limits of the fixed frame and of its threshold against published guidance."""

import pytest

from installs.plan import limits
from tests.checks.doorsets import doorset
from tests.checks.rule_sets import GENERAL, RULE_SETS, name_of

every_rule_set = pytest.mark.parametrize("rules", RULE_SETS, ids=name_of)
# published: test-institute guidance of 28.04.2006: 1.5 mm/m up to 3.00 m, at most 3 mm; beyond 3 m
# nothing is said and the cap is kept
PLUMB_AND_LEVEL = [(800, 1.2), (1200, 1.8), (2000, 3.0), (2100, 3.0), (3000, 3.0), (5000, 3.0)]


@every_rule_set
@pytest.mark.parametrize(("length", "limit"), PLUMB_AND_LEVEL)
def test_a_jamb_may_lean_either_way_by_its_share_of_its_height(rules, length, limit):
    for criterion in limits.plumb(length, rules).values():
        assert (criterion.lower, criterion.upper) == pytest.approx((-limit, limit))


@every_rule_set
@pytest.mark.parametrize(("length", "limit"), PLUMB_AND_LEVEL)
def test_a_sill_may_fall_by_its_share_of_its_length(rules, length, limit):
    assert limits.level("sill_level", length, rules)["sill_level"].upper == pytest.approx(limit)


def test_a_frame_is_square_where_its_diagonals_differ_by_an_eighth_of_an_inch():
    # published: installer guidance on squareness: 1/8 inch, 3 mm
    assert limits.square(GENERAL)["diagonal_difference"].upper == 3.0


@every_rule_set
@pytest.mark.parametrize(("upstand", "within"), [(0, True), (15, True), (15.1, False)])
def test_an_accessible_threshold_stands_up_15_mm_at_most(rules, upstand, within):
    # from memory: Approved Document M (England), volume 1
    assert doorset(rules, upstand=upstand).upstand.within is within
