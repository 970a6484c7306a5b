"""What holds for every fixing layout, against a search through all layouts there are."""

from collections.abc import Iterator
from dataclasses import replace
from itertools import pairwise

from hypothesis import assume, given
from hypothesis import strategies as st

from installs.arithmetic.fixing_layout import lay_out_fixings
from installs.arithmetic.members import FixingRules, Member, MemberLayout

# Members short enough to try every layout there is.
SMALL = FixingRules(
    end_min=3,
    end_max=6,
    max_centres=12,
    min_fixings=2,
    clear_of=0,
    one_fixing_up_to=8,
    least_apart=4,
)
FOLDING = FixingRules(
    end_min=150,
    end_max=200,
    max_centres=600,
    min_fixings=2,
    clear_of=0,
    one_fixing_up_to=400,
    least_apart=50,
)


def lay_out(member: Member, rules: FixingRules) -> MemberLayout:
    (layout,) = lay_out_fixings([member], rules)
    return layout


def stretches(length: int, longest: float):
    """Whole and half millimetres, some of them beyond the member's ends."""
    start = st.integers(-4, 2 * length + 4).map(lambda halves: halves / 2)
    span = st.integers(0, int(2 * longest)).map(lambda halves: halves / 2)
    stretch = st.tuples(start, span).map(lambda drawn: (drawn[0], drawn[0] + drawn[1]))
    return st.lists(stretch, max_size=4).map(tuple)


def reaches(length: int):
    """All along, all but a stretch somewhere, or wherever it may be."""
    gap = st.tuples(st.integers(0, length), st.integers(0, length)).map(sorted)
    all_but = gap.map(lambda edges: ((0, edges[0]), (edges[1], length)))
    return st.none() | st.just(((0, length),)) | all_but | stretches(length, length)


@st.composite
def members(draw, lengths):
    length = draw(lengths)
    kept_out, reachable = draw(stretches(length, length / 8)), draw(reaches(length))
    return Member("sill", length, kept_out, reachable)


@st.composite
def small_rules(draw):
    return replace(
        SMALL,
        max_centres=draw(st.integers(9, 20)),
        min_fixings=draw(st.integers(1, 5)),
        clear_of=draw(st.sampled_from((0, 1, 1.5))),
        least_apart=draw(st.integers(4, 7)),
    )


def full_length(member: Member, rules: FixingRules) -> bool:
    return member.length >= 2 * rules.end_max + rules.least_apart


def may_sit(x: int, member: Member, rules: FixingRules) -> bool:
    clear = rules.clear_of
    kept_out = any(start - clear < x < end + clear for start, end in member.kept_out)
    reachable = ((0, member.length),) if member.reachable is None else member.reachable
    return not kept_out and any(start <= x <= end for start, end in reachable)


def layouts_of(count: int, member: Member, rules: FixingRules) -> Iterator[tuple[int, ...]]:
    """Every layout of so many fixings that keeps the rules, one place after the other."""
    places = [x for x in range(int(member.length) + 1) if may_sit(x, member, rules)]
    last = [x for x in places if rules.end_min <= member.length - x <= rules.end_max]
    started: list[tuple[int, ...]] = [
        (x,) for x in places if rules.end_min <= x <= rules.end_max and last
    ]
    while started:
        layout = started.pop()
        to_come = count - len(layout)
        if to_come == 0:
            if layout[-1] in last:
                yield layout
            continue
        # Neither too far to arrive nor too near for all that are still to come.
        if not last[0] - to_come * rules.max_centres <= layout[-1]:
            continue
        if not layout[-1] + to_come * rules.least_apart <= last[-1]:
            continue
        started += [
            (*layout, x) for x in places if rules.least_apart <= x - layout[-1] <= rules.max_centres
        ]


def merit(positions: tuple[int, ...]) -> tuple[int, int, int, int]:
    centres = [b - a for a, b in pairwise(positions)] or [0]
    return len(positions), max(centres), -min(centres), sum(c * c for c in centres)


def best_merit(member: Member, rules: FixingRules) -> tuple[int, int, int, int] | None:
    for count in range(rules.min_fixings, int(member.length / rules.least_apart) + 2):
        if merits := [merit(layout) for layout in layouts_of(count, member, rules)]:
            return min(merits)
    return None


@given(members(st.integers(16, 60)), small_rules())
def test_no_layout_at_all_is_better_than_the_one_chosen(member, rules):
    assume(full_length(member, rules))
    chosen = lay_out(member, rules)
    best = best_merit(member, rules)
    if best is None:
        assert chosen.positions is None
        assert chosen.reason
    else:
        assert chosen.positions is not None, chosen.reason
        assert merit(chosen.positions) == best


@given(
    members(st.integers(450, 7000)),
    st.sampled_from((200, 250)),
    st.integers(2, 6),
    st.sampled_from((0, 25.5)),
)
def test_a_layout_keeps_its_own_rules(member, end_max, min_fixings, clear_of):
    rules = replace(FOLDING, end_max=end_max, min_fixings=min_fixings, clear_of=clear_of)
    assume(full_length(member, rules))
    layout = lay_out(member, rules)
    if layout.positions is None:
        assert layout.reason
        assert (layout.count, layout.centres) == (0, ())
        return
    assert 150 <= layout.positions[0] <= end_max
    assert 150 <= member.length - layout.positions[-1] <= end_max
    assert all(50 <= centre <= 600 for centre in layout.centres)
    assert layout.count == len(layout.positions) >= min_fixings
    assert layout.centres == tuple(b - a for a, b in pairwise(layout.positions))
    assert all(may_sit(x, member, rules) for x in layout.positions)


@given(members(st.integers(401, 5000)), st.sampled_from((200, 250)))
def test_a_member_seen_from_its_other_end_is_fixed_as_well(member, end_max):
    def mirrored(stretches):
        return tuple((member.length - end, member.length - start) for start, end in stretches)

    rules = replace(FOLDING, end_max=end_max)
    reachable = None if member.reachable is None else mirrored(member.reachable)
    other = Member("sill", member.length, mirrored(member.kept_out), reachable)
    here, there = lay_out(member, rules), lay_out(other, rules)
    assert (here.positions is None) == (there.positions is None)
    if here.positions and there.positions:
        assert merit(here.positions) == merit(there.positions)
        assert here.note == there.note


@given(members(st.integers(1, 20)), st.integers(0, 8), st.integers(2, 6))
def test_a_short_member_gets_two_fixings_far_apart_or_one_in_the_middle(member, one_up_to, least):
    rules = replace(SMALL, one_fixing_up_to=one_up_to, least_apart=least)
    assume(member.length <= one_up_to or not full_length(member, rules))
    layout = lay_out(member, rules)
    places = [x for x in range(member.length + 1) if may_sit(x, member, rules)]
    first = [x for x in places if 3 <= x <= 6]
    last = [x for x in places if 3 <= member.length - x <= 6]
    said = layout.reason or layout.note or ""
    if member.length > one_up_to and not (first and last):
        assert said.startswith("no fixing can sit in the end zone")
    elif member.length > one_up_to and last[-1] - first[0] >= least:
        assert layout.positions == (first[0], last[-1])
        assert "two fixings, far apart" in said
    elif places:
        (middle,) = layout.positions or ()
        assert abs(middle - member.length / 2) == min(abs(x - member.length / 2) for x in places)
        assert "one fixing" in said
    else:
        assert "kept out" in said


@given(st.integers(1, 7000), st.floats(0, 500))
def test_a_member_that_is_all_kept_out_is_not_fixed_and_says_why(length, beyond):
    member = Member("left", length, kept_out=((-1 - beyond, length + 1 + beyond),))
    layout = lay_out(member, FOLDING)
    assert layout.positions is None
    assert layout.reason
