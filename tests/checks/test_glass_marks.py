"""Markings of safety glass as trade pages print them, against what was ordered.

BS EN 12600:2002, 4: class of the drop height (1 is 1200 mm, 2 is 450 mm, 3 is 190 mm), mode of
breakage (B held together, laminated glass; C in small pieces, toughened glass). Approved Document K
(England), 2013 edition, 5.4: class 3 at least, class 2 in a pane of a door wider than 900 mm.
"""

import pytest

from jobs.arithmetic.glass_marks import mark_shortfalls, ordered_panes, read_marks
from jobs.arithmetic.glazing import read_glazing

CLASS_2, CLASS_3 = "BS EN 12600 class 2", "BS EN 12600 class 3"


def unit(*safety):
    layers = [{"glass": 4, "safety": kind} for kind in safety]
    gaps = [{"cavity": 16, "gas": {"air": 1.0}}] * (len(layers) - 1)
    between = [part for pair in zip(layers, [*gaps, None], strict=True) for part in pair if part]
    return read_glazing({"layers": between})


TOUGHENED = unit("toughened", "toughened")


def short(marking, glazing=TOUGHENED, needed=CLASS_2):
    return [shortfall.ordered.number for shortfall in mark_shortfalls(marking, glazing, needed)]


@pytest.mark.parametrize(
    ("marking", "read"),
    [
        ("EN 12150-1 1C2", ["1(C)2"]),
        ("BS EN 12600 2(B)2 EN 14449", ["2(B)2"]),
        ("EN 12150-1 1c1 / EN 14449 2 (B) 2", ["1(C)1", "2(B)2"]),
        ("EN 12150-1", []),
        ("unit 21B25, 12 mm", []),
    ],
)
def test_classes_are_read_however_they_are_etched(marking, read):
    assert [str(mark) for mark in read_marks(marking)] == read


def test_each_pane_that_can_be_struck_shows_its_own_class():
    assert short("1C2, 1C2") == []
    assert short("1C2, both panes toughened") == [2]
    assert short("") == [1, 2]


def test_a_class_lower_than_ordered_is_not_enough_and_a_better_one_is():
    assert short("3C3, 1C1") == [1]
    assert short("3C3, 1C1", needed=CLASS_3) == []


def test_laminated_glass_is_not_taken_for_toughened_glass_nor_the_other_way_round():
    """Laminated glass that was ordered against falling out is not met by glass that crumbles."""
    mixed = unit("toughened", "laminated")
    assert short("1C2, 2B2", mixed) == []
    assert short("2B2, 1C2", mixed) == [1, 2]


def test_annealed_glass_meets_no_order_of_safety_glass():
    assert short("1A1, 1C1") == [1]


def test_of_three_panes_the_middle_one_is_not_asked_about():
    triple = unit("toughened", "none", "laminated")
    assert [pane.number for pane in ordered_panes(triple, CLASS_2)] == [1, 3]
    assert short("1C2, 2B2", triple) == []
    assert short("1C2, 3C3, 2B2", triple) == []


def test_glass_that_nobody_can_walk_into_needs_no_class():
    assert short("", needed="none") == []
