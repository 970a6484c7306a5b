"""The room to tilt a frame in, against a rectangle that is turned."""

import pytest
from shapely import affinity
from shapely.geometry import box

from installs.arithmetic.tilt import TiltRequest, tilt_in


@pytest.mark.parametrize(("height", "depth"), [(2100, 70), (2400, 120), (1200, 200)])
def test_a_frame_that_is_tilted_up_needs_the_room_that_a_turned_rectangle_takes(height, depth):
    # Brute force with shapely: its section turned about the edge of its sill next to the crew.
    section = box(0, 0, depth, height)
    highest = max(
        affinity.rotate(section, angle / 100, origin=(0, 0)).bounds[3] for angle in range(4500)
    )
    needed = tilt_in(TiltRequest(height, depth)).needed
    assert needed == pytest.approx(highest - height, abs=1e-3)


@pytest.mark.parametrize(
    ("head", "sill", "way"),
    # By hand, 2100 high and 150 deep: sqrt(2100^2 + 150^2) - 2100 = 5.35 mm.
    [
        (5.4, 0, "tilt"),
        (5.3, 0.1, "before_packers"),
        (5.3, 0, "upright"),
        (2.0, 3.0, "upright"),
        (None, None, "not_known"),
    ],
)
def test_how_it_goes_in_follows_from_the_joints(head, sill, way):
    answer = tilt_in(TiltRequest(2100, 150, head_joint=head, sill_joint=sill))
    assert answer.needed == pytest.approx(5.35, abs=0.005)
    assert answer.way == way


def test_nobody_pushes_from_a_ground_that_lies_lower():
    low = tilt_in(TiltRequest(2100, 70, drop=750, level_up_to=220))
    assert low.side.startswith("From inside: the ground outside lies 750 mm lower")
    level = tilt_in(TiltRequest(2100, 70, drop=150, level_up_to=220))
    assert level.side.startswith("From whichever side")
