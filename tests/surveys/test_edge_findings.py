"""Whether the fixings of a frame keep off the edges of the wall that they go into."""

import pytest

from surveys.arithmetic.edge_findings import EdgeLimits, edge_findings
from tests import factories

LIMITS = EdgeLimits({"brick": 60, "timber": 25, "steel": 15}, "the firm's own limit")
WALL = {"left": "brick", "right": "timber", "head": "steel", "sill": "concrete"}


def found(**conditions):
    return edge_findings({"substrate": WALL} | conditions, 70, LIMITS)


# By hand: a frame 70 mm deep, 25 mm behind the face of the wall, is fixed 60 mm from it.
def test_a_fixing_in_the_middle_of_the_frame_keeps_off_the_outer_face():
    assert found(frame_position=25) == ()
    [finding] = found(frame_position=24)
    assert finding.code == "edge_distance"
    assert "stands 59 mm from the face of the wall; in brick it wants 60 mm (left)" in finding.what
    assert "assessment prevails" in finding.caution


def test_it_keeps_off_the_inner_face_too():
    assert found(frame_position=125, reveal_depth=220) == ()
    assert len(found(frame_position=126, reveal_depth=220)) == 1


def test_sides_of_one_kind_of_wall_are_named_together():
    wall = dict.fromkeys(("left", "right", "head", "sill"), "brick")
    [finding] = found(frame_position=0, substrate=wall)
    assert "(left, right, head)" in finding.what


def test_where_the_frame_stands_nobody_guesses():
    assert found(reveal_depth=100) == ()


@pytest.mark.django_db
def test_a_fit_decision_is_kept_with_what_the_edges_call_for(office, opening):
    conditions = factories.CONDITIONS | {"frame_position": 0}
    survey = factories.survey(office, opening, conditions=conditions)
    system = factories.profile_system(office, frame_depth=70)
    doorset = factories.doorset(office, opening, profile_system=system)
    [finding] = factories.fit_decision(office, survey, doorset).answer.findings
    assert finding.code == "edge_distance"
    assert "35 mm" in finding.what
