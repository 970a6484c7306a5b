"""Where folded leaves stand and what they sweep: hand figures, shapely and a closed form."""

from itertools import pairwise
from math import cos, hypot, radians, sin

import pytest
from shapely import affinity
from shapely.geometry import LineString, Polygon, box
from shapely.ops import unary_union

from jobs.arithmetic.fold import parse_fold
from jobs.arithmetic.stack import (
    FoldingChains,
    folded_stacks,
    greatest_reach,
    leaves_in_plan,
    sweep_outline,
)

FACE, GAP, DEPTH = 60.0, 4.0, 70.0


def chains(fold, leaf=694.0, **more):
    parsed = parse_fold(fold)
    width = parsed.leaves * (leaf + GAP) + GAP + 2 * FACE
    facts = {"frame_face": FACE, "leaf_gap": GAP, "leaf_thickness": DEPTH} | more
    return FoldingChains(width, fold=parsed, widths=(leaf,) * parsed.leaves, **facts)


# By hand: five leaves of 70 mm and four gaps of 4 mm are 366 mm; the first face stands behind the
# frame's face of 60 and a gap of 4. A leaf of 694 and its gap stand out by 698.
def test_five_leaves_stand_beside_the_jamb_they_fold_to():
    [stack] = folded_stacks(chains("5-5-0"))
    assert (stack.jamb, stack.leaves) == ("left", 5)
    assert (stack.thickness, stack.projection) == (366, 698)
    assert (stack.start, stack.end) == pytest.approx((64, 64 + 366))


def test_leaves_that_fold_both_ways_stand_at_both_jambs():
    left, right = folded_stacks(chains("5-3-2"))
    assert (left.thickness, right.thickness) == (3 * 70 + 2 * 4, 2 * 70 + 4)
    frame = chains("5-3-2").frame_width
    assert right.end == pytest.approx(frame - 64)
    assert right.start == pytest.approx(frame - 64 - 144)


def test_closed_leaves_stand_in_the_frame_from_end_to_end():
    closed = leaves_in_plan(chains("3-2-1"), 0.0)
    assert [leaf.number for leaf in closed] == [1, 2, 3]
    for leaf in closed:
        left, low, right, high = Polygon(leaf.corners).bounds
        assert (high, low) == pytest.approx((0, -DEPTH - GAP))
        assert left == pytest.approx(FACE + GAP / 2 + (leaf.number - 1) * 698)
        assert right - left == pytest.approx(698)


@pytest.mark.parametrize("fold", ["5-5-0", "4-2-2", "3-0-3", "1-1-0", "7-4-3"])
@pytest.mark.parametrize("share", [0.0, 0.13, 0.5, 0.77, 1.0])
def test_no_leaf_stands_in_another_and_every_pair_is_hinged_at_a_corner(fold, share):
    """A chain is what its hinges make it: neighbours share a corner, and none overlap."""
    asked = chains(fold)
    plates = [Polygon(leaf.corners) for leaf in leaves_in_plan(asked, share)]
    for index, (left, right) in enumerate(pairwise(plates), start=1):
        # The last leaves of two chains are not hinged to each other: one opens after the other.
        if index != asked.fold.left:
            assert left.intersection(right).area < 1e-3
            assert left.distance(right) < 1e-6


def rotated_pair(width, depth, degrees):
    """A pair made of two rectangles turned by shapely alone: the second hangs on the first's inner
    corner, and its own pin comes to lie on the track by itself."""
    first = affinity.rotate(box(0, -depth, width, 0), degrees, origin=(0, 0))
    turn = radians(degrees)
    knuckle = (width * cos(turn) + depth * sin(turn), width * sin(turn) - depth * cos(turn))
    second = box(knuckle[0], knuckle[1], knuckle[0] + width, knuckle[1] + depth)
    return first, affinity.rotate(second, -degrees, origin=knuckle)


def test_a_pair_sweeps_what_turning_rectangles_sweep():
    asked = chains("2-2-0")
    edge = FACE + GAP / 2
    swept = unary_union(
        [plate for step in range(901) for plate in rotated_pair(698, 74, step / 10)]
    )
    for u in (1, 40, 74, 200, 400, 600, 698, 900, 1100, 1300, 1390):
        line = LineString([(u, 0), (u, 2000)])
        by_shapely = swept.intersection(line).bounds[3]
        reach = greatest_reach(asked, edge + u, edge + u)
        # Between two of a thousand positions a corner is missed by half a millimetre at most.
        assert by_shapely - 0.1 <= reach <= by_shapely + 0.6, u


def test_a_leaf_by_itself_sweeps_a_quarter_of_a_disc():
    asked = chains("1-1-0")
    swept = unary_union(
        [affinity.rotate(box(0, -74, 698, 0), step / 10, origin=(0, 0)) for step in range(901)]
    )
    for u in (10, 74, 300, 600, 690):
        by_shapely = swept.intersection(LineString([(u, 0), (u, 900)])).bounds[3]
        x = FACE + GAP / 2 + u
        assert greatest_reach(asked, x, x) == pytest.approx(by_shapely, abs=0.3)
        assert by_shapely == pytest.approx((hypot(698, 74) ** 2 - u**2) ** 0.5, abs=5)


def test_thin_leaves_sweep_under_the_astroid_of_a_sliding_ladder():
    """The outer face of the second leaf is the lower half of a ladder twice as long that slides
    down a wall: x^(2/3) + y^(2/3) = l^(2/3), which it touches beyond l / (2 sqrt 2)."""
    asked = chains("2-2-0", frame_face=0.0, leaf_gap=0.0, leaf_thickness=0.001)
    ladder = 2 * 694.0
    for x in (520, 700, 900, 1100, 1300):
        astroid = (ladder ** (2 / 3) - x ** (2 / 3)) ** 1.5
        assert greatest_reach(asked, x, x) == pytest.approx(astroid, abs=0.2)
    for x in (10, 200, 480):
        assert greatest_reach(asked, x, x) == pytest.approx((694**2 - x**2) ** 0.5, abs=0.2)


def test_a_pair_in_the_middle_can_stand_folded_wherever_its_carrier_runs():
    """Of four leaves the second pair folds with the first still closed, so its leaves stand right
    out at two leaves' width from the jamb, too, and at every place between."""
    asked = chains("4-4-0")
    for u in (0, 700, 1396):
        x = FACE + GAP / 2 + u
        assert greatest_reach(asked, x, x) == pytest.approx(698, abs=0.1)
    beyond = FACE + GAP / 2 + 1396 + 700
    alone = greatest_reach(chains("2-2-0"), FACE + GAP / 2 + 700, FACE + GAP / 2 + 700)
    assert greatest_reach(asked, beyond, beyond) == pytest.approx(alone)


def test_nothing_is_swept_beside_the_frame():
    asked = chains("5-3-2")
    assert greatest_reach(asked, -500, -1) == 0
    assert greatest_reach(asked, asked.frame_width + 1, asked.frame_width + 500) == 0


def test_a_fold_seen_in_a_mirror_sweeps_its_mirror_image():
    left, right = sweep_outline(chains("5-5-0")), sweep_outline(chains("5-0-5"))
    assert [y for _, y in left] == pytest.approx([y for _, y in reversed(right)])
