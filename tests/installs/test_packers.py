from itertools import combinations_with_replacement

import pytest
from hypothesis import given
from hypothesis import strategies as st

from installs.arithmetic.packers import make_up_packers

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
