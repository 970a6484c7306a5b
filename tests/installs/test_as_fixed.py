from hypothesis import given
from hypothesis import strategies as st

from installs.arithmetic.as_fixed import compare_fixings, fewest_for_length

places = st.lists(st.integers(0, 3000), max_size=8, unique=True)


def test_a_fixing_beside_its_place_is_one_that_was_moved():
    told = compare_fixings([150, 700, 1250], [152, 800, 2000], within=25, moved_within=300)
    assert list(told.moved) == [(700, 800)]
    assert (*told.missing, *told.added) == (1250, 2000)


@given(places, places)
def test_every_place_is_told_of_once(planned, fixed):
    told = compare_fixings(planned, fixed, within=25, moved_within=300)
    assert {*told.missing, *(place for place, _ in told.moved)} <= set(planned)
    assert {*told.added, *(made for _, made in told.moved)} <= set(fixed)
    assert len(planned) - len(told.missing) - len(told.moved) == (
        len(fixed) - len(told.added) - len(told.moved)
    )


@given(places)
def test_what_was_fixed_as_planned_is_not_told_of(planned):
    told = compare_fixings(planned, planned, within=25, moved_within=300)
    assert (told.missing, told.added, told.moved) == ((), (), ())


def test_a_long_member_without_a_layout_still_needs_as_many_as_its_length_asks_for():
    # closed form: ceil((6000 - 2 x 250) / 600) + 1
    rules = {"end_max": 250, "max_centres": 600, "min_fixings": 2}
    assert fewest_for_length(6000, **rules) == 11
    assert fewest_for_length(500, **rules) == 2
