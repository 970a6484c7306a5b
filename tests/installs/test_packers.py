import pytest

from installs.arithmetic.packers import make_up_packers
from jobs.arithmetic.errors import UnusableInput

CARRIED = (1, 2, 3, 5, 8, 10)


@pytest.mark.parametrize(
    ("joint", "pieces"), [(5, (5,)), (7.4, (5, 2)), (12.4, (10, 2)), (16, (8, 8)), (0.3, ())]
)
def test_joints_are_packed_with_what_the_crew_carries(joint, pieces):
    assert make_up_packers(joint, CARRIED, 0.5).pieces == pieces


@pytest.mark.parametrize(
    ("joint", "limit", "within"), [(0.4, 0.5, True), (0.4, 0.3, False), (0.8, 0.5, False)]
)
def test_a_joint_narrower_than_the_thinnest_packer_says_by_how_much_it_falls_short(
    joint, limit, within
):
    stack = make_up_packers(joint, CARRIED, limit)
    assert (stack.pieces, stack.shortfall, stack.within) == ((), joint, within)


def test_a_shortfall_is_judged_on_the_joint_itself_and_not_on_its_tenths():
    # closed form: 5.55 - 5 = 0.55 is beyond 0.5, so the half millimetre has to be added
    assert make_up_packers(5.55, (0.5, 5), 0.5).pieces == (5, 0.5)


def test_a_joint_that_was_worked_out_loses_nothing_to_binary_fractions():
    # closed form: 3.3 - 0.1 is 3.2 mm, but less in binary fractions
    stack = make_up_packers(3.3 - 0.1, (3.2, 3.0), 0.5)
    assert (stack.pieces, stack.shortfall, stack.within) == ((3.2,), 0, True)


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
