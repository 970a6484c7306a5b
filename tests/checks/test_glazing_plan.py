"""Toe and heel, blocks and the lift that squares a sash, against facts of the trade."""

from math import hypot

import pytest

from installs.arithmetic.glazing_plan import (
    GlazedLeaf,
    SashDiagonals,
    plan_glazing,
    squaring_lift,
)
from installs.services.calculation_rules import block_rules
from jobs.arithmetic.fold import parse_fold
from jobs.rule_texts import read_rules, shipped_rule_set_texts

RULES = block_rules(read_rules(shipped_rule_set_texts()[0]))


def plan(fold, width=700.0, height=2000.0, **given):
    leaves = [GlazedLeaf(n + 1, width, height, 30.0) for n in range(parse_fold(fold).leaves)]
    return plan_glazing(parse_fold(fold), leaves, RULES, toe_and_heel_device=False, **given)


def test_heel_corners_of_neighbours_alternate_and_the_heel_is_on_the_carrying_side():
    # Common practice, no source: odd leaves of a chain, counted from its jamb, on the jamb's side.
    heels = [leaf.heel for leaf in plan("5-3-2").leaves]
    assert heels == [
        "bottom_left",
        "bottom_right",
        "bottom_left",
        "bottom_left",
        "bottom_right",
    ]


def test_the_toe_is_diagonally_opposite_the_heel():
    # Published: encyclopaedia article on glazing blocks; load runs from the top of the lock side
    # over the pane to the bottom of the hinge side.
    for leaf in plan("4-2-2").leaves:
        assert {leaf.heel, leaf.toe} in (
            {"bottom_left", "top_right"},
            {"bottom_right", "top_left"},
        )


@pytest.mark.parametrize(
    ("fold", "order"),
    [
        # Common practice, no source: from one end inwards; all one way from the second sash in.
        ("5-3-2", (1, 2, 3, 4, 5)),
        ("4-4-0", (2, 3, 4, 1)),
        ("4-0-4", (3, 2, 1, 4)),
        ("1-1-0", (1,)),
    ],
)
def test_sashes_are_glazed_in_the_order_of_the_trade(fold, order):
    assert plan(fold).order == order


@pytest.mark.parametrize(
    ("width", "height", "length"),
    [
        # Common practice: 27 mm of block for each m2 of glass (0.1 inch for each square foot gives
        # 27.3), not under 100 mm (4 inches).
        (700, 2000, 100.0),
        (2000, 2400, 129.6),
    ],
)
def test_blocks_are_as_long_as_their_glass_is_large(width, height, length):
    (leaf,) = plan("1-1-0", width, height).leaves
    blocks = (*leaf.setting_blocks, *leaf.location_blocks)
    assert [block.length for block in blocks] == pytest.approx([length] * 5)
    inches_per_square_foot = 25.4 * 0.1 / 0.3048**2
    assert inches_per_square_foot == pytest.approx(RULES.per_m2, abs=0.4)


def test_blocks_begin_20_mm_from_a_corner_and_stay_within_their_edge():
    # Published: glass construction handbook, setting blocks 20 mm or more from the corner.
    (leaf,) = plan("1-1-0").leaves
    edges = {"bottom": 700, "top": 700, "left": 2000, "right": 2000}
    for block in (*leaf.setting_blocks, *leaf.location_blocks):
        assert block.at - block.length / 2 >= 20
        assert block.at + block.length / 2 <= edges[block.edge] - 20


def test_a_dropped_sash_is_squared_by_the_lift_of_plane_geometry():
    # Closed form: a sash 700 x 2000 whose free stile has dropped by s has diagonals
    # sqrt(700^2 + (2000 +- s)^2); the first order gives s back.
    s = 3.0
    longer, shorter = hypot(700, 2000 + s), hypot(700, 2000 - s)
    assert squaring_lift(700, 2000, longer - shorter) == pytest.approx(s, rel=1e-3)
    hung_left, hung_right = plan(
        "2-1-1",
        diagonals=[SashDiagonals(1, shorter, longer), SashDiagonals(2, longer, shorter)],
    ).leaves
    assert hung_left.lift == pytest.approx(s, rel=1e-3)
    assert hung_right.lift == pytest.approx(s, rel=1e-3)


def test_a_sash_that_stands_too_high_at_its_free_stile_is_let_down():
    (leaf,) = plan("1-1-0", diagonals=[SashDiagonals(1, 2120.0, 2118.0)]).leaves
    assert leaf.lift == pytest.approx(-2 * hypot(700, 2000) / 4000)
