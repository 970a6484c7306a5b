"""Where readings go: places, numbers and the drawing that shows them."""

from xml.etree import ElementTree

import pytest

from surveys.reading_drawing import guide_svg
from surveys.reading_kinds import CHECKS, OFFSETS, SIZES, SPLAYS, STRAIGHTEDGES, Size
from surveys.reading_slots import likely_swap, slots_of
from tests import factories

SVG = "{http://www.w3.org/2000/svg}"
SIZE = Size(3600, 2100)


def slot(name, **given):
    return next(one for one in slots_of(SIZE, **given) if one.name == name)


def marks(**options):
    svg = ElementTree.fromstring(guide_svg(SIZE, slots_of(SIZE), "Where to read:", **options))
    return {mark.get("data-mark"): mark for mark in svg.iter(f"{SVG}g")}


def test_readings_are_numbered_through():
    assert [one.number for one in slots_of(SIZE)] == list(range(1, 36))


def test_usual_places_are_near_the_corners_and_in_the_middle():
    assert [slot(f"widths.{n}").at for n in range(3)] == [100, 1050, 2000]
    assert [slot(f"sill_levels.{n}").at for n in range(3)] == [0, 1800, 3600]


def test_what_was_read_keeps_its_place_and_the_usual_places_that_are_free_follow():
    readings = {"widths": [{"at": 2000, "value": 3612}, {"at": 700, "value": 3611}]}
    read = {name: slot(name, readings=readings) for name in ("widths.0", "widths.1", "widths.2")}
    assert [one.at for one in read.values()] == [2000, 700, 100]
    assert [one.number for one in read.values()] == [3, 2, 1]


@pytest.mark.parametrize("height", [2100, 2118])
def test_a_reading_keeps_its_number_where_one_before_it_was_left_out(height):
    """The middle of the left jamb was not read, one width more than usual was; the opening turned
    out a little higher than the frame that the form went by."""
    readings = {
        "widths": [{"at": at, "value": 3612} for at in (100, 1050, 1400, 2000)],
        "plumb": {"left": [{"at": 0, "value": 0}, {"at": 2100, "value": 1}]},
    }
    numbers = {
        one.exactly: one.number
        for one in slots_of(Size(3600, height), readings)
        if one.value is not None
    }
    assert numbers == {
        "Width 100 mm above the sill": 1,
        "Width 1050 mm above the sill": 2,
        "Width 1400 mm above the sill": 36,
        "Width 2000 mm above the sill": 3,
        "Left jamb 0 mm above the sill": 15,
        "Left jamb 2100 mm above the sill": 17,
    }


def test_a_reading_is_named_by_its_place_whatever_its_order():
    shuffled = {"widths": list(reversed(factories.READINGS["widths"]))}
    assert slot("widths.0", readings=shuffled).words == "Width near the head"
    assert slot("heights.1").exactly == "Height 1800 mm from the left jamb"


def test_every_reading_has_its_numbered_line():
    found = marks()
    assert len(found) == 34, "a rule of known length is no part of the opening"
    assert found["heights.1"].find(f"{SVG}path").get("d") == "M1800.0 2100.0 L1800.0 0.0"
    assert found["diagonals.rising"].find(f"{SVG}path").get("d") == "M0.0 2100.0 L3600.0 0.0"
    assert found["diagonals.rising"].find(f"{SVG}text").text == "7"


@pytest.mark.parametrize(
    "kinds",
    [(*SIZES, "diagonals"), OFFSETS, (*STRAIGHTEDGES, *SPLAYS), (*SIZES, *CHECKS)],
    ids=["sizes", "levels", "walls", "checks"],
)
def test_numbers_stand_clear_of_each_other(kinds):
    """On each drawing by itself: together they would be too many."""
    names = {getattr(kind, "name", kind) for kind in kinds}
    found = [
        mark.find(f"{SVG}circle")
        for name, mark in marks().items()
        if name.rpartition(".")[0] in names
    ]
    circles = [[float(one.get(name)) for name in ("cx", "cy", "r")] for one in found]
    for index, (x, y, r) in enumerate(circles):
        for other_x, other_y, _ in circles[index + 1 :]:
            assert (x - other_x) ** 2 + (y - other_y) ** 2 > (1.5 * r) ** 2


def test_a_suspect_is_marked_by_a_sign_and_named_to_who_cannot_see_it():
    suspect = marks(suspects=["widths.1"])["widths.1"]
    assert suspect.find(f"{SVG}text").text == "2?"
    svg = guide_svg(SIZE, slots_of(SIZE), "Doubted:", suspects=["widths.1"])
    assert 'aria-label="Doubted: 2 Width 1050 mm above the sill."' in svg


@pytest.mark.parametrize(
    ("read", "likely", "swapped"),
    [(4816, 4180.4, 4186), (3162, 3611, 3612), (3612, 3594, None), (3333, 3333, None)],
)
def test_two_swapped_digits_are_seen_where_they_explain_the_reading(read, likely, swapped):
    assert likely_swap(read, likely, within=6) == swapped
