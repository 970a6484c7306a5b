"""The elevation drawing: to scale, numbered from the left, and safe to put on a page."""

import re
from xml.etree import ElementTree

import pytest

from jobs.drawings import DrawnLeaf, Elevation, elevation_svg

SVG = "{http://www.w3.org/2000/svg}"


def doorset(opens: str = "out", number: object = 1) -> Elevation:
    """3-2-1: leaves of 700, 700 and 464 mm in a frame of 2000 by 2100 mm."""
    leaves = (
        DrawnLeaf(number, 700, 1972, "left", False),
        DrawnLeaf(2, 700, 1972, "right", False),
        DrawnLeaf(3, 464, 1972, "right", True),
    )
    return Elevation(2000, 2100, 60, 62, 4, 2, 1, opens, leaves)


def drawn(elevation: Elevation) -> ElementTree.Element:
    return ElementTree.fromstring(elevation_svg(elevation))


def words(drawing: ElementTree.Element) -> list[str]:
    return [text.text or "" for text in drawing.iter(f"{SVG}text")]


def leaf_rectangle(drawing: ElementTree.Element, number: int) -> dict[str, float]:
    group = drawing.find(f"{SVG}g[@data-leaf='{number}']")
    rectangle = group.find(f"{SVG}rect")
    return {name: float(rectangle.get(name)) for name in ("x", "y", "width", "height")}


def test_leaves_stand_where_their_sizes_put_them():
    # closed form: frame face and gap, then leaf by leaf, and the last ends where the jamb begins
    drawing = drawn(doorset())
    assert leaf_rectangle(drawing, 1) == {"x": 64, "y": 64, "width": 700, "height": 1972}
    assert leaf_rectangle(drawing, 2)["x"] == 64 + 700 + 4
    last = leaf_rectangle(drawing, 3)
    assert last["x"] + last["width"] == 2000 - 60 - 4


def test_leaves_are_numbered_and_sizes_are_written():
    assert {"1", "2", "3", "2000 mm", "2100 mm"} <= set(words(drawn(doorset())))


def test_each_chain_says_which_way_it_folds():
    assert {"2 leaves fold left", "1 leaf folds right"} <= set(words(drawn(doorset())))


def test_the_access_leaf_is_named_in_words_not_by_looks_alone():
    assert words(drawn(doorset())).count("access") == 1


def test_opening_lines_are_dashed_where_leaves_open_away_from_the_eye():
    # EN 12519, from memory: solid towards the eye, dashed away from it
    assert "stroke-dasharray" not in elevation_svg(doorset("out"))
    assert elevation_svg(doorset("in")).count("stroke-dasharray") == 3


def test_opening_lines_meet_on_the_side_a_leaf_is_hung_on():
    path = drawn(doorset()).find(f"{SVG}g[@data-leaf='2']/{SVG}path").get("d")
    free_x, hung_x, _ = map(float, re.findall(r"[ML](\d+\.\d) ", path))
    assert hung_x > free_x


def test_somebody_who_cannot_see_the_drawing_is_told_what_it_shows():
    label = drawn(doorset()).get("aria-label")
    assert label == (
        "Doorset 3-2-1 seen from outside, 2000 by 2100 mm, opening outwards: "
        "2 leaves fold left, 1 leaf folds right; access leaf: 3."
    )


@pytest.mark.parametrize("hostile", ["<script>alert(1)</script>", '"><image href="x"/>'])
def test_nothing_written_into_a_drawing_becomes_markup(hostile):
    drawing = drawn(doorset(number=hostile))
    assert hostile in words(drawing)
    assert not list(drawing.iter(f"{SVG}script"))
    assert not list(drawing.iter(f"{SVG}image"))
