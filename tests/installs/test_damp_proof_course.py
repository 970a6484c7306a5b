"""Packers at the sill stand on the damp-proof course, and are as much thinner."""

import pytest

from installs.arithmetic.damp_proof_course import stood_on
from installs.arithmetic.members import JointPoint
from installs.services.planning import frozen_plan
from tests import factories

pytestmark = pytest.mark.django_db


def widths(joints, member):
    return [point.width for point in joints[member]]


def joints(*sill):
    points = [JointPoint(1000.0 * place, width) for place, width in enumerate(sill)]
    return {"sill": points, "head": [JointPoint(0, 9.0)], "left": [JointPoint(0, 7.0)]}


def test_it_fills_as_much_of_a_joint_that_is_wide_enough():
    stood = stood_on(1.5, joints(4.0, 2.0, 6.0))
    assert widths(stood, "sill") == [2.5, 0.5, 4.5]
    assert widths(stood, "head") == [9.0]
    assert widths(stood, "left") == [7.0]


def test_on_the_highest_point_of_a_sill_it_raises_the_frame():
    """By hand: nothing between frame and sill at its highest, so the frame stands 1.5 mm higher,
    every packer stays as it was, and the joint at the head closes by 1.5 mm."""
    stood = stood_on(1.5, joints(0.0, 3.0))
    assert widths(stood, "sill") == [0.0, 3.0]
    assert widths(stood, "head") == [7.5]


def test_it_raises_the_frame_by_no_more_than_the_joint_lacks():
    stood = stood_on(1.5, joints(1.0, 3.0))
    assert widths(stood, "sill") == [0.0, 2.0]
    assert widths(stood, "head") == [8.5]


def test_without_a_measured_joint_nothing_is_reckoned():
    assert stood_on(1.5, {}) == {}


@pytest.mark.parametrize("state", ["damaged", "missing", "not_seen"])
def test_a_plan_reckons_with_one_that_is_still_to_be_laid(office, fitter, job, state):
    sound, to_be_laid = (plan(office, fitter, job, state) for state in ("ok", state))
    # The least joint at the sill is 0 mm, so the frame stands 1.5 mm higher.
    for before, after in zip(head_joints(sound), head_joints(to_be_laid), strict=True):
        assert after == pytest.approx(before - 1.5, abs=0.05)
    assert not any("damp-proof course" in caution for caution in sound.cautions)
    [told] = [caution for caution in to_be_laid.cautions if "damp-proof course" in caution]
    assert "1.5 mm thick (the firm's own limit" in told


def plan(office, fitter, job, state):
    opening = factories.opening(office, job, f"Wall with a course that is {state}")
    doorset = factories.ordered_doorset(office, opening)
    factories.delivery(office, doorset)
    conditions = factories.CONDITIONS | {"damp_proof_course": state}
    survey = factories.survey(office, opening, stage="before_removal", conditions=conditions)
    factories.fit_decision(office, survey, doorset)
    visit = factories.visit(office, job, "fitting", fitter)
    return frozen_plan(doorset, visit, job.rule_set.rules)


def head_joints(made):
    return [fixing.packers.joint_width for fixing in made.fixing_layout.member("head").fixings]
