from hypothesis import given
from hypothesis import strategies as st

from installs.arithmetic.as_fixed import (
    compare_fixings,
    fewest_for_length,
    planned_without_fixing,
)

places = st.lists(st.integers(0, 3000), max_size=8, unique=True)


def test_a_fixing_beside_its_place_is_one_that_was_moved():
    comparison = compare_fixings([150, 700, 1250], [152, 800, 2000], within=25, moved_within=300)
    assert list(comparison.moved) == [(700, 800)]
    assert (*comparison.missing, *comparison.added) == (1250, 2000)


def test_one_fixing_answers_for_one_of_two_planned_places_close_together():
    # Both are within 25 mm of it, and a screw holds one place.
    assert planned_without_fixing([100, 140], [120], within=25) == (140,)


@given(places, places)
def test_every_place_is_named_once(planned, fixed):
    comparison = compare_fixings(planned, fixed, within=25, moved_within=300)
    assert {*comparison.missing, *(place for place, _ in comparison.moved)} <= set(planned)
    assert {*comparison.added, *(made for _, made in comparison.moved)} <= set(fixed)
    assert len(planned) - len(comparison.missing) - len(comparison.moved) == (
        len(fixed) - len(comparison.added) - len(comparison.moved)
    )


@given(places)
def test_what_was_fixed_as_planned_is_not_named(planned):
    comparison = compare_fixings(planned, planned, within=25, moved_within=300)
    assert (comparison.missing, comparison.added, comparison.moved) == ((), (), ())


def test_a_long_member_without_a_layout_still_needs_as_many_as_its_length_asks_for():
    # closed form: ceil((6000 - 2 x 250) / 600) + 1
    rules = {"end_max": 250, "max_centres": 600, "min_fixings": 2}
    assert fewest_for_length(6000, **rules) == 11
    assert fewest_for_length(500, **rules) == 2
