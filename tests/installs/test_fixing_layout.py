from dataclasses import replace

import pytest

from installs.arithmetic.fixing_layout import lay_out_fixings
from installs.arithmetic.members import FixingRules, Member
from jobs.arithmetic.errors import UnusableInput

RULES = FixingRules(
    end_min=150,
    end_max=200,
    max_centres=600,
    min_fixings=2,
    clear_of=0,
    one_fixing_up_to=400,
    least_apart=50,
)
FIVE = replace(RULES, min_fixings=5)


def lay_out(member: Member, rules: FixingRules = RULES):
    (layout,) = lay_out_fixings([member], rules)
    return layout


def test_a_kept_out_stretch_that_cannot_be_bridged_is_named():
    layout = lay_out(Member("left", 2100, kept_out=((500, 1300),)))
    assert layout.positions is None
    assert "between 500 and 1300 mm" in layout.reason


def test_an_end_zone_that_cannot_be_reached_is_named():
    layout = lay_out(Member("head", 3590, reachable=((400, 3190),)))
    assert layout.reason == "no fixing can sit in the end zone from 150 to 200 mm"


def test_a_head_too_narrow_for_a_removable_track_cannot_be_fixed_in_its_channel():
    assert lay_out(Member("head", 700, reachable=((400, 300),))).positions is None


def test_everything_kept_out_leaves_nothing():
    assert lay_out(Member("left", 2100, kept_out=((-1, 2101),))).positions is None


def test_a_short_member_gets_one_fixing_and_says_so():
    layout = lay_out(Member("left", 350))
    assert layout.positions == (175,)
    assert "too short" in layout.note


@pytest.mark.parametrize(
    ("end_max", "length", "positions"),
    [
        (200, 401, (150, 251)),
        (200, 449, (150, 299)),
        (250, 401, (150, 251)),
        (250, 549, (150, 399)),
    ],
)
def test_a_member_with_no_room_between_its_end_zones_gets_two_fixings_far_apart(
    end_max, length, positions
):
    # closed form: end_min from either end; the closest centres would put both in one hole
    layout = lay_out(Member("left", length), replace(RULES, end_max=end_max))
    assert layout.positions == positions
    assert "too short for two end zones" in layout.note


@pytest.mark.parametrize(("length", "positions", "count"), [(349, (174,), 1), (350, (150, 200), 2)])
def test_two_fixings_that_would_share_a_hole_are_one(length, positions, count):
    # closed form: 150 mm from either end leaves 49 or 50 mm between the two
    layout = lay_out(Member("left", length), replace(RULES, one_fixing_up_to=0))
    assert (layout.positions, layout.count) == (positions, count)
    assert ("no two places 50 mm apart" in layout.note) is (count == 1)


def test_a_gap_that_only_neighbours_too_near_to_each_other_could_cross_is_named():
    # closed form: 200 to 830 is 630 mm, and 240 is only 40 mm beyond 200
    places = ((200, 200), (240, 240), (830, 830), (950, 950))
    layout = lay_out(Member("sill", 1100, reachable=places))
    assert layout.positions is None
    assert "between 200 and 830 mm" in layout.reason


def test_a_member_that_can_be_reached_nowhere_cannot_be_fixed():
    assert lay_out(Member("head", 2100, reachable=())).positions is None


def test_the_most_even_of_the_closest_layouts_is_taken():
    # closed form: 210 to 790 can only be crossed by 200 to 790; then 560, not 510, is most like it
    assert lay_out(Member("sill", 1500, kept_out=((210, 790),))).centres == (590, 560)


def test_among_equal_extremes_the_distances_between_them_are_evened_out():
    # closed form: 600 and 400 mm are forced; of the 1000 mm between, 500 + 500 beats 410 + 590
    places = tuple((x, x) for x in (150, 750, 1160, 1250, 1750, 2150))
    assert lay_out(Member("sill", 2300, reachable=places)).centres == (600, 500, 500, 400)


def test_more_fixings_than_there_are_places_for_say_so():
    layout = lay_out(Member("sill", 700, reachable=((150, 150), (550, 550))), FIVE)
    assert layout.reason.startswith("5 fixings at least 50 mm apart find no place")


@pytest.mark.parametrize(
    ("member", "rules", "pointer"),
    [
        (Member("left", 2100, kept_out=((5, 9), (800, 700))), RULES, "/members/0/kept_out/1"),
        (Member("left", 0), RULES, "/members/0/length"),
        (Member("left", 2100), replace(RULES, end_max=100), "/rules/end_max"),
        (Member("left", 2100), replace(RULES, max_centres=0), "/rules/max_centres"),
        (Member("left", 2100), replace(RULES, clear_of=-1), "/rules/clear_of"),
        (Member("left", 2100), replace(RULES, least_apart=0), "/rules/least_apart"),
        (Member("left", 2100), replace(RULES, least_apart=600.5), "/rules/least_apart"),
    ],
)
def test_what_cannot_be_laid_out_is_refused_by_field(member, rules, pointer):
    with pytest.raises(UnusableInput) as refusal:
        lay_out(member, rules)
    assert refusal.value.pointer == pointer


def test_a_jamb_in_brickwork_is_fixed_in_bricks():
    # from memory: BS EN 771-1 / PD 6697 practice, 65 mm brick and 10 mm joint
    joints = tuple((foot, foot + 10) for foot in range(12, 2090, 75))
    layout = lay_out(Member("left", 2100, kept_out=joints))
    assert layout.count == 4
    assert not any(start < x < end for x in layout.positions for start, end in joints)


def test_fixings_keep_their_distance_from_a_kept_out_stretch():
    rules = replace(RULES, clear_of=50)
    layout = lay_out(Member("left", 2100, kept_out=((700, 800),)), rules)
    assert not any(650 < x < 850 for x in layout.positions)


@pytest.mark.parametrize("length", [2100, 3000, 6000])
def test_a_free_member_is_fixed_evenly(length):
    centres = lay_out(Member("sill", length)).centres
    assert max(centres) - min(centres) <= 1
