from dataclasses import replace
from itertools import combinations, pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from installs.arithmetic.fixing_layout import (
    FixingRules,
    Member,
    lay_out_fixings,
)
from jobs.arithmetic.errors import UnusableInput

RULES = FixingRules(
    end_min=150, end_max=200, max_centres=600, min_fixings=2, clear_of=0, one_fixing_up_to=400
)
# Small enough to try every layout there is.
SMALL = FixingRules(
    end_min=3, end_max=6, max_centres=9, min_fixings=2, clear_of=0, one_fixing_up_to=8
)


FIVE = replace(RULES, min_fixings=5)


def lay_out(member: Member, rules: FixingRules = RULES):
    (layout,) = lay_out_fixings([member], rules)
    return layout


def stretches(length: int):
    edge = st.integers(0, length)
    return st.lists(st.tuples(edge, edge).map(sorted).map(tuple), max_size=3).map(tuple)


def every_layout(member: Member, rules: FixingRules):
    def allowed(x: int) -> bool:
        clear = rules.clear_of
        kept_out = any(start - clear < x < end + clear for start, end in member.kept_out)
        return not kept_out and any(start <= x <= end for start, end in member.reachable)

    places = [x for x in range(int(member.length) + 1) if allowed(x)]
    for count in range(rules.min_fixings, 6):
        for layout in combinations(places, count):
            first, last = layout[0], member.length - layout[-1]
            ends = all(rules.end_min <= end <= rules.end_max for end in (first, last))
            if ends and all(b - a <= rules.max_centres for a, b in pairwise(layout)):
                yield layout


def merit(layout):
    centres = [b - a for a, b in pairwise(layout)]
    return len(layout), max(centres), -min(centres), sum(c * c for c in centres)


@settings(max_examples=60, deadline=None)
@given(st.data())
def test_no_layout_at_all_is_better_than_the_one_chosen(data):
    length = data.draw(st.integers(2 * SMALL.end_max, 26))
    rules = replace(SMALL, clear_of=data.draw(st.sampled_from((0, 1, 1.5))))
    reachable = data.draw(st.just(((0, length),)) | stretches(length).filter(bool))
    member = Member("sill", length, data.draw(stretches(length)), reachable)
    best = min(map(merit, every_layout(member, rules)), default=None)
    chosen = lay_out(member, rules)
    if best is None:
        assert chosen.positions is None
        assert chosen.reason
    else:
        assert merit(chosen.positions) == best


@settings(max_examples=60, deadline=None)
@given(st.integers(401, 7000), st.data())
def test_a_layout_keeps_its_own_rules(length, data):
    member = Member("head", length, kept_out=data.draw(stretches(length)))
    layout = lay_out(member)
    if layout.positions is None:
        assert layout.reason
        return
    first, last = layout.positions[0], length - layout.positions[-1]
    assert 150 <= first <= 200
    assert 150 <= last <= 200
    assert max(layout.centres) <= 600
    assert not any(a < x < b for x in layout.positions for a, b in member.kept_out)


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


@pytest.mark.parametrize(("length", "positions"), [(401, (150, 251)), (499, (150, 349))])
def test_a_member_whose_end_zones_overlap_gets_two_fixings_far_apart(length, positions):
    # closed form: end_min from either end; the closest centres would be 1 mm apart
    layout = lay_out(Member("left", length), replace(RULES, end_max=250))
    assert layout.positions == positions
    assert "too short" in layout.note


def test_the_most_even_of_the_closest_layouts_is_taken():
    # closed form: 210 to 790 can only be crossed by 200 to 790; then 560, not 510, is most like it
    assert lay_out(Member("sill", 1500, kept_out=((210, 790),))).centres == (590, 560)


def test_more_fixings_than_there_are_places_for_say_so():
    layout = lay_out(Member("sill", 700, reachable=((150, 150), (550, 550))), FIVE)
    assert layout.reason.startswith("5 fixings find no place")


@pytest.mark.parametrize(
    ("member", "rules", "pointer"),
    [
        (Member("left", 2100, kept_out=((5, 9), (800, 700))), RULES, "/members/0/kept_out/1"),
        (Member("left", 0), RULES, "/members/0/length"),
        (Member("left", 2100), replace(RULES, end_max=100), "/rules/end_max"),
        (Member("left", 2100), replace(RULES, max_centres=0), "/rules/max_centres"),
        (Member("left", 2100), replace(RULES, clear_of=-1), "/rules/clear_of"),
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
    rules = FixingRules(150, 200, 600, 2, clear_of=50, one_fixing_up_to=400)
    layout = lay_out(Member("left", 2100, kept_out=((700, 800),)), rules)
    assert not any(650 < x < 850 for x in layout.positions)


@pytest.mark.parametrize("length", [2100, 3000, 6000])
def test_a_free_member_is_fixed_evenly(length):
    centres = lay_out(Member("sill", length)).centres
    assert max(centres) - min(centres) <= 1
