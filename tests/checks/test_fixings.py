"""Fixing layouts against NHBC Standards 6.7.11."""

import pytest

from installs.arithmetic.fixing_layout import FixingRules, Member, lay_out_fixings
from jobs.rules import read_rules, shipped_rule_set_texts

GENERAL = next(
    rules for rules in map(read_rules, shipped_rule_set_texts()) if rules.name == "general-2026"
)


def rules() -> FixingRules:
    return FixingRules(
        end_min=GENERAL["fixing.end_min"],
        end_max=GENERAL["fixing.end_max"],
        max_centres=GENERAL["fixing.max_centres"],
        min_fixings=GENERAL["fixing.min_fixings"],
        clear_of=GENERAL["fixing.clear_of"],
        one_fixing_up_to=GENERAL["fixing.one_up_to"],
        least_apart=GENERAL["fixing.least_apart"],
    )


def test_the_general_rule_set_holds_the_published_distances():
    # published: NHBC Standards 6.7.11: 150 to 250 mm from corners, centres not over 600 mm, two
    # fixings at least
    assert (rules().end_min, rules().end_max, rules().max_centres) == (150, 250, 600)
    assert rules().min_fixings == 2


# closed form: ceil((length - 2 x 250) / 600) intervals, and one more fixing
@pytest.mark.parametrize(
    ("member", "length", "count"), [("left", 2100, 4), ("sill", 3000, 6), ("head", 6000, 11)]
)
def test_members_get_the_fewest_fixings_the_distances_allow(member, length, count):
    (layout,) = lay_out_fixings([Member(member, length)], rules())
    assert layout.count == count


def test_a_sill_of_three_metres_is_fixed_at_500_mm_from_250_mm():
    # closed form: span 2500 in 5 intervals
    (layout,) = lay_out_fixings([Member("sill", 3000)], rules())
    assert layout.positions == (250, 750, 1250, 1750, 2250, 2750)
