import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.sparse import csr_array
from scipy.sparse.csgraph import maximum_bipartite_matching

from installs.arithmetic.as_fixed import planned_without_fixing
from installs.arithmetic.bed_joints import bed_joint_stretches
from installs.arithmetic.frame_plan import (
    CarryingSill,
    head_member,
    joint_width_at,
    plan_frame,
)
from installs.arithmetic.members import FixingRules, Head, JointPoint, PlannedMember
from installs.arithmetic.packers import PackerRules
from installs.arithmetic.sill_supports import SillLoad, SupportRules
from jobs.arithmetic.errors import UnusableInput

RULES = FixingRules(150, 200, 600, 2, 0, 400, 50)
PACKERS = PackerRules((1, 2, 3, 5, 8, 10), 0.5)
CARRYING = CarryingSill((SillLoad("carrier_closed", 1458.0, 2),), SupportRules(50, 300, 50))


def head(fixing: str = "in_channel", ends_through_track: bool = True) -> Head:
    return Head(fixing, 400, ends_through_track, 25, 150)


def planned(head: Head, joints=None, width: float = 3590) -> dict[str, PlannedMember]:
    members = plan_frame(
        width,
        2100,
        head=head,
        fixing_rules=RULES,
        joints=joints or {},
        packer_rules=PACKERS,
        carrying=CARRYING,
    )
    return {member.name: member for member in members}


def test_all_four_sides_are_fixed():
    assert {name: m.length for name, m in planned(head()).items()} == {
        "left": 2100,
        "right": 2100,
        "head": 3590,
        "sill": 3590,
    }


def test_no_fixing_sits_at_a_joint_of_the_track():
    positions = planned(head(), width=3000)["head"].positions
    assert positions
    assert not [p for p in positions if 375 < p < 425 or 2575 < p < 2625]


def test_the_ends_of_the_head_are_fixed_through_the_track_and_the_rest_in_the_channel():
    methods = [(f.position, f.method) for f in planned(head())["head"].fixings]
    assert {m for p, m in methods if p < 400 or p > 3190} == {"through_track"}
    assert {m for p, m in methods if 400 < p < 3190} == {"in_channel"}


def test_a_head_reached_only_behind_its_track_has_an_end_zone_of_its_own():
    member = planned(head(ends_through_track=False))["head"]
    assert member.positions
    assert 425 <= member.positions[0] <= 575
    assert {fixing.method for fixing in member.fixings} == {"in_channel"}


def test_a_head_fixed_through_the_track_is_free_all_along():
    assert head_member(3590, head("through_track")).kept_out == ()


def test_a_frame_without_a_removable_length_of_track_is_refused():
    with pytest.raises(UnusableInput, match="no removable length"):
        planned(head(), width=820)


def test_packers_fill_the_joint_beside_each_fixing():
    joints = {"left": [JointPoint(0, 5.2), JointPoint(2100, 13.6)]}
    for fixing in planned(head(), joints)["left"].fixings:
        width = 5.2 + 8.4 * fixing.position / 2100
        assert fixing.packers.joint_width == pytest.approx(width)
        assert width - 1 < fixing.packers.thickness <= width


def test_a_joint_that_was_not_measured_gets_no_packers():
    assert {f.packers for f in planned(head())["left"].fixings} == {None}


def test_a_joint_beyond_its_last_point_is_as_wide_as_there():
    joints = [JointPoint(100, 6), JointPoint(2000, 8)]
    assert joint_width_at(50, joints) == 6
    assert joint_width_at(2050, joints) == 8


# From memory: bricks of 65 mm and joints of 10 mm make courses of 75 mm.
def test_bed_joints_repeat_with_every_course_from_any_one_of_them():
    stretches = bed_joint_stretches(300, datum=205, course=75, joint=10)
    assert stretches == ((50, 60), (125, 135), (200, 210), (275, 285))


def test_a_bed_joint_that_the_members_end_cuts_counts_as_far_as_it_reaches():
    assert bed_joint_stretches(152, datum=0, course=75, joint=10) == ((0, 5), (70, 80), (145, 152))


def test_one_fixing_never_answers_for_two_planned_places():
    assert planned_without_fixing([100, 140], [120], 25) == (140,)
    assert planned_without_fixing([100, 140], [120, 150], 25) == ()


def test_a_fixing_further_off_than_allowed_leaves_its_place_unserved():
    assert planned_without_fixing([150, 750], [150, 776], 25) == (750,)
    assert planned_without_fixing([150, 750], [150, 775], 25) == ()


PLACES = st.lists(st.integers(0, 600), min_size=1, max_size=8, unique=True)


# Reference library: scipy, the greatest matching of a bipartite graph.
@given(planned=PLACES, fixed=PLACES)
def test_no_pairing_serves_more_planned_places(planned, fixed):
    near = np.abs(np.subtract.outer(planned, fixed)) <= 25
    matched = maximum_bipartite_matching(csr_array(near), perm_type="column")
    assert len(planned_without_fixing(planned, fixed, 25)) == int((matched < 0).sum())
