"""What passes a way in, against closed forms, a published condition and moved rectangles."""

from math import cos, degrees, pi, radians, sin, sqrt

import pytest
from shapely import affinity
from shapely.geometry import Polygon, box

from surveys.arithmetic.way_in import (
    Corner,
    Plate,
    WayIn,
    WayRules,
    lean_under,
    longest_round_corner,
    pass_way,
)

FREE = WayRules(hand_room=0, greatest_lean=90, sources=())
WIDTHS = [(900, 900), (900, 1000), (760, 1200), (1000, 2400), (1500, 850)]


@pytest.mark.parametrize(("before", "after"), WIDTHS)
def test_a_plate_without_thickness_turns_as_the_moving_ladder_does(before, after):
    # Closed form of the moving ladder problem: (a^(2/3) + b^(2/3))^(3/2).
    ladder = (before ** (2 / 3) + after ** (2 / 3)) ** 1.5
    assert longest_round_corner(before, after, 0) == pytest.approx(ladder, rel=1e-9)


def test_between_passages_of_one_width_the_longest_turns_at_45_degrees():
    # Published: of unit width, 2 sqrt(2); by hand with a thickness t: 2 sqrt(2) - 2 t.
    assert longest_round_corner(1, 1, 0) == pytest.approx(2 * sqrt(2))
    assert longest_round_corner(900, 900, 70) == pytest.approx(1800 * sqrt(2) - 140)


def rectangle(length: float, thickness: float, angle: float) -> Polygon:
    """Turned by degrees, and pushed against both outer walls, x = 0 and y = 0."""
    turned = affinity.rotate(box(0, 0, length, thickness), -angle)
    left, low, _, _ = turned.bounds
    return affinity.translate(turned, -left, -low)


def goes_round(before: float, after: float, length: float, thickness: float) -> bool:
    """Moves a rectangle: along the first passage, and on by small turns. Whatever is inside the
    two passages stays inside when it is pushed towards both outer walls, so that only one place
    has to be tried at each angle. It is out as soon as it lies within the second passage."""
    far = 4 * (length + before + after)
    passages = box(0, 0, far, before).union(box(0, 0, after, far)).buffer(1e-6)
    for step in range(721):
        moved = rectangle(length, thickness, step / 8)
        if not passages.covers(moved):
            return False
        if moved.bounds[2] <= after + 1e-6:
            return True
    return True


@pytest.mark.parametrize(("before", "after"), WIDTHS)
@pytest.mark.parametrize("thickness", [1, 70, 170, 300, 640, 755])
def test_a_rectangle_that_is_moved_round_the_corner_is_stopped_by_the_longest_that_passes(
    before, after, thickness
):
    # Brute force with shapely, which knows no formula of this.
    longest = longest_round_corner(before, after, thickness)
    either_way = ((before, after), (after, before))
    assert any(goes_round(*widths, longest * 0.999, thickness) for widths in either_way)
    assert not any(goes_round(*widths, longest * 1.001 + 0.5, thickness) for widths in either_way)


def test_what_is_thicker_than_a_passage_passes_no_corner():
    assert longest_round_corner(900, 700, 701) == 0


@pytest.mark.parametrize("height", [300, 900, 1500, 1990, 2099])
def test_leaned_over_it_just_stands_under_the_ceiling(height):
    # Brute force with shapely: the height of a rectangle that is turned.
    lean = lean_under(2100, 70, height) or 0
    assert 0 < lean < pi / 2
    _, low, _, high = affinity.rotate(box(0, 0, 70, 2100), degrees(lean)).bounds
    assert high - low == pytest.approx(height)


@pytest.mark.parametrize(
    ("edge", "thickness", "width", "height"),
    [(2100, 70, 820, 1980), (2100, 70, 700, 1980), (2100, 70, 790, 1985), (2400, 100, 1500, 1980)],
)
def test_it_passes_a_doorway_by_leaning_where_a_rectangle_fits_into_a_rectangle(
    edge, thickness, width, height
):
    # Published: Carver, American Mathematical Monthly 64 (1957) 114, as quoted by Wetzel,
    # "Rectangles in rectangles", Mathematics Magazine 73 (2000) 204 (the pages from memory): with
    # p >= q and p > a, a p x q rectangle fits into an a x b one exactly where
    # b >= (2 p q a + (p^2 - q^2) sqrt(p^2 + q^2 - a^2)) / (p^2 + q^2).
    p, q, a = edge, thickness, height
    least = (2 * p * q * a + (p * p - q * q) * sqrt(p * p + q * q - a * a)) / (p * p + q * q)
    way = WayIn(doorway_width=width, doorway_height=height)
    plate = Plate(width=8000, height=edge, thickness=thickness)
    assert pass_way(plate, way, FREE).passes is (width >= least)


FRAME = Plate(width=3590, height=2100, thickness=70)
RULES = WayRules(hand_room=50, greatest_lean=30, sources=())


def test_a_frame_goes_straight_through_a_passage_on_its_long_edge():
    passing = pass_way(FRAME, WayIn(passage_width=900, passage_height=2400), RULES)
    assert (passing.passes, passing.along, passing.lean) == (True, "width", 0)


def test_a_corner_too_tight_for_a_frame_is_named_with_what_it_lets_through():
    way = WayIn(passage_height=2400, corners=(Corner(1800, 1800), Corner(900, 1000)))
    passing = pass_way(FRAME, way, RULES)
    # By hand: with hands on both sides 170 mm thick and 3690 mm long.
    longest = min(
        (1000 * sin(radians(a / 100)) + 900 * cos(radians(a / 100)) - 170)
        / (sin(radians(a / 100)) * cos(radians(a / 100)))
        for a in range(1, 9000)
    )
    assert passing.passes is False
    assert passing.obstacle == (
        f"corner 2, between passages of 900 and 1000 mm, lets {longest:.0f} mm round it, and 3690 "
        "mm are wanted"
    )


def test_a_sash_that_is_too_long_for_a_corner_is_stood_on_its_end():
    sash = Plate(width=690, height=2300, thickness=70)
    tight = WayIn(passage_height=2500, corners=(Corner(800, 800),))
    assert pass_way(sash, tight, RULES).along == "width"
    low = WayIn(passage_height=2200, corners=(Corner(800, 800),))
    assert pass_way(sash, low, RULES).passes is False


def test_under_a_low_lintel_it_is_leaned_over_and_no_further_than_may_be():
    low = WayIn(doorway_width=1200, doorway_height=2050)
    passing = pass_way(FRAME, low, RULES)
    assert passing.passes
    # By hand: 2100 cos b + 70 sin b = 2050 - 100 at b = 23.78 degrees.
    assert passing.lean == pytest.approx(23.78, abs=0.01)
    lower = pass_way(FRAME, WayIn(doorway_width=2400, doorway_height=1900), RULES)
    assert "leaned over by 33 degrees, and 30 is the most" in str(lower.obstacle)
    narrow = pass_way(FRAME, WayIn(doorway_width=900, doorway_height=2050), RULES)
    assert "in the narrowest doorway, and take" in str(narrow.obstacle)


def test_leaned_over_it_is_as_thick_at_a_corner_as_the_floor_it_takes():
    short = Plate(width=2500, height=2100, thickness=70)
    corner = (Corner(1100, 1100),)
    assert pass_way(short, WayIn(passage_height=2400, corners=corner), RULES).passes
    low = pass_way(short, WayIn(passage_height=2050, corners=corner), RULES)
    assert "corner 1" in str(low.obstacle)


def test_nothing_is_stood_on_end_under_a_ceiling_that_nobody_measured():
    corner = (Corner(900, 1000),)
    assert pass_way(FRAME, WayIn(passage_height=4000, corners=corner), RULES).along == "height"
    assert pass_way(FRAME, WayIn(corners=corner), RULES).passes is False


def test_nothing_measured_stops_nothing():
    assert pass_way(FRAME, WayIn(), RULES).passes
