from itertools import combinations_with_replacement

import pytest
from hypothesis import given
from hypothesis import strategies as st

from installs.arithmetic.packers import make_up_packers
from jobs.arithmetic.errors import UnusableInput

CARRIED = (1, 2, 3, 5, 8, 10)


@given(st.integers(0, 200).map(lambda tenths: tenths / 10))
def test_a_stack_is_never_thicker_than_its_joint_and_as_small_as_can_be(joint):
    stack = make_up_packers(joint, CARRIED, 0.5)
    assert stack.thickness <= joint + 1e-9
    fewest = next(
        (
            count
            for count in range(5)
            for pieces in combinations_with_replacement(CARRIED, count)
            if joint - 0.5 - 1e-9 <= sum(pieces) <= joint + 1e-9
        ),
        None,
    )
    if fewest is None:
        assert not stack.within
    else:
        assert (len(stack.pieces), stack.within) == (fewest, True)


@pytest.mark.parametrize(
    ("joint", "pieces"), [(5, (5,)), (7.4, (5, 2)), (12.4, (10, 2)), (16, (8, 8)), (0.3, ())]
)
def test_joints_are_packed_with_what_the_crew_carries(joint, pieces):
    assert make_up_packers(joint, CARRIED, 0.5).pieces == pieces


def test_a_joint_narrower_than_the_thinnest_packer_says_that_it_falls_short():
    stack = make_up_packers(0.8, CARRIED, 0.5)
    assert (stack.pieces, stack.within) == ((), False)


def test_a_shortfall_is_judged_on_the_joint_itself_and_not_on_its_tenths():
    # closed form: 5.55 - 5 = 0.55 is beyond 0.5, so the half millimetre has to be added
    assert make_up_packers(5.55, (0.5, 5), 0.5).pieces == (5, 0.5)


def test_coarse_packers_fall_short_as_little_as_they_can():
    stack = make_up_packers(17.0, (8, 10), 0.5)
    assert (stack.pieces, stack.shortfall, stack.within) == ((8, 8), 1.0, False)


def test_a_frame_that_stands_in_the_wall_is_never_packed_well():
    stack = make_up_packers(-3.0, CARRIED, 0.5)
    assert (stack.pieces, stack.within) == ((), False)


def test_a_packer_without_thickness_is_refused_by_its_place():
    with pytest.raises(UnusableInput) as refusal:
        make_up_packers(5, (5, 0), 0.5)
    assert refusal.value.pointer == "/thicknesses/1"
