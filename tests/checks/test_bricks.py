"""Bed joints beside a jamb against the sizes of UK brickwork."""

from itertools import pairwise

import pytest

from installs.arithmetic.bed_joints import bed_joint_stretches
from tests.checks.rule_sets import RULE_SETS, name_of

every_rule_set = pytest.mark.parametrize("rules", RULE_SETS, ids=name_of)
# published: UK brickwork tables: 28 courses 2100 mm, 32 courses 2400 mm; openings one joint more
COURSES = [(1, 75), (28, 2100), (32, 2400)]


def joints_beside(rules, length, datum):
    course, joint = rules["brick.course"], rules["brick.joint"]
    return bed_joint_stretches(length, datum=datum, course=course, joint=joint)


@every_rule_set
@pytest.mark.parametrize(("courses", "height"), COURSES)
def test_an_opening_of_whole_courses_begins_and_ends_with_a_joint(rules, courses, height):
    joints = joints_beside(rules, height + 10, datum=5)
    assert len(joints) == courses + 1
    assert (joints[0], joints[-1]) == ((0, 10), (height, height + 10))


@every_rule_set
@pytest.mark.parametrize(("courses", "height"), COURSES)
def test_between_the_joints_stand_bricks_of_65_mm(rules, courses, height):
    # published: UK brickwork tables: brick 65 mm high, co-ordinating 75 mm
    joints = joints_beside(rules, height + 10, datum=5)
    bricks = [above[0] - below[1] for below, above in pairwise(joints)]
    assert bricks == [65] * courses


@every_rule_set
@pytest.mark.parametrize("joint_seen", [5, 1055, 2105])
def test_it_does_not_matter_which_bed_joint_was_seen(rules, joint_seen):
    # closed form: 14 and 28 courses of 75 mm above the first
    assert joints_beside(rules, 2110, joint_seen) == joints_beside(rules, 2110, 5)
