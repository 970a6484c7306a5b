"""Fixing layouts against NHBC Standards 6.7.11, and heads against the practice of the trade."""

from dataclasses import replace

import pytest

from installs.arithmetic.fixing_layout import lay_out_fixings
from installs.arithmetic.frame_plan import head_member
from installs.arithmetic.members import FixingRules, Head, Member, MemberLayout
from installs.services.planning import fixing_rules
from tests.checks.rule_sets import FOLDING, GENERAL, RULE_SETS, name_of

RULES = fixing_rules(GENERAL)


def lay_out(member: Member, rules: FixingRules = RULES) -> MemberLayout:
    (layout,) = lay_out_fixings([member], rules)
    return layout


def test_the_general_rule_set_holds_the_published_distances():
    # published: NHBC Standards 6.7.11: 150 to 250 mm from corners, centres not over 600 mm, two
    # fixings at least
    assert (RULES.end_min, RULES.end_max, RULES.max_centres) == (150, 250, 600)
    assert RULES.min_fixings == 2


def test_folding_doorsets_are_fixed_nearer_to_their_corners():
    # common practice, no source: 150 to 200 mm from corners, centres not over 600 mm
    rules = fixing_rules(FOLDING)
    assert (rules.end_min, rules.end_max, rules.max_centres) == (150, 200, 600)


@pytest.mark.parametrize("rule_set", RULE_SETS, ids=name_of)
@pytest.mark.parametrize("length", [600, 1200, 2100, 3000, 5990])
def test_a_layout_keeps_the_published_distances(rule_set, length):
    # published: NHBC Standards 6.7.11
    layout = lay_out(Member("sill", length), fixing_rules(rule_set))
    assert layout.count >= 2
    assert 150 <= layout.positions[0] <= 250
    assert 150 <= length - layout.positions[-1] <= 250
    assert max(layout.centres) <= 600


# closed form: ceil((length - 2 x 250) / 600) intervals, and one more fixing
@pytest.mark.parametrize(
    ("member", "length", "count"), [("left", 2100, 4), ("sill", 3000, 6), ("head", 6000, 11)]
)
def test_members_get_the_fewest_fixings_the_distances_allow(member, length, count):
    assert lay_out(Member(member, length)).count == count


# closed form: the span between the ends over 600 mm, rounded up to whole intervals
@pytest.mark.parametrize(
    ("length", "end", "positions"),
    [
        (2100, 150, (150, 750, 1350, 1950)),
        (3000, 150, (150, 690, 1230, 1770, 2310, 2850)),
        (3000, 250, (250, 750, 1250, 1750, 2250, 2750)),
    ],
)
def test_members_fixed_at_a_set_distance_from_their_ends_agree_with_worked_ones(
    length, end, positions
):
    assert lay_out(Member("left", length), replace(RULES, end_min=end, end_max=end)).positions == (
        positions
    )


def test_the_closest_centres_of_a_sill_of_three_metres_start_at_250_mm():
    # closed form: span 2500 in 5 intervals
    assert lay_out(Member("sill", 3000)).positions == (250, 750, 1250, 1750, 2250, 2750)


def test_no_fixing_comes_within_150_mm_of_the_centre_line_of_a_mullion():
    # published: NHBC Standards 6.7.11: at least 150 mm from the centre line of a mullion
    sill = Member("sill", 3000, kept_out=((1250, 1250),))
    positions = lay_out(sill, replace(RULES, clear_of=150)).positions
    assert min(abs(position - 1250) for position in positions) >= 150


def test_the_removable_length_of_a_track_starts_400_mm_from_each_end():
    # common practice, no source
    head = Head(
        "in_channel", 400, ends_through_track=False, clear_of_track_joint=0, channel_end=150
    )
    assert head_member(3590, head).reachable == ((400, 3190),)


@pytest.mark.parametrize("width", [1500, 3590, 6000])
def test_a_head_that_can_only_be_fixed_in_its_channel_has_a_layout(width):
    # common practice, no source: the first fixing within the channel's own end zone
    head = Head(
        "in_channel", 400, ends_through_track=False, clear_of_track_joint=25, channel_end=150
    )
    positions = lay_out(head_member(width, head)).positions
    assert positions
    assert 425 <= positions[0] <= 575
    assert width - 575 <= positions[-1] <= width - 425
