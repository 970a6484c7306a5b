"""Tape errors and the geometry of openings against published values and closed forms."""

from math import hypot, sqrt

import pytest
from shapely.geometry import Polygon, box

from surveys.arithmetic.opening_fit import assess_opening
from surveys.arithmetic.placement import Clearance
from surveys.arithmetic.readings import (
    Diagonals,
    Measurement,
    Opening,
    PlacedReading,
    Priors,
    Splay,
    Straightedge,
    Surfaces,
)
from surveys.arithmetic.uncertainty import (
    Instrument,
    rectangular,
    standard_uncertainty,
    tape_permissible_error,
)

PRIORS = Priors(straightness=3, levelness=10, plumbness=10)
NO_CLEARANCE = Clearance(0, 0, 0, 0)
# So good an instrument that only geometry is left.
EXACT = Instrument("laser", expanded_uncertainty=1e-9, coverage_factor=2.0)


# published: Directive 2014/32/EU Annex X: a + b L, L rounded up to the next whole metre, and c for
# a reading from the end hook. Metres, then classes I, I + c, II, II + c, III, III + c in mm.
TAPE_TABLE = [
    (0.900, 0.2, 0.3, 0.5, 0.7, 1.0, 1.3),
    (1.000, 0.2, 0.3, 0.5, 0.7, 1.0, 1.3),
    (2.134, 0.4, 0.5, 0.9, 1.1, 1.8, 2.1),
    (3.000, 0.4, 0.5, 0.9, 1.1, 1.8, 2.1),
    (3.001, 0.5, 0.6, 1.1, 1.3, 2.2, 2.5),
    (4.800, 0.6, 0.7, 1.3, 1.5, 2.6, 2.9),
    (5.000, 0.6, 0.7, 1.3, 1.5, 2.6, 2.9),
    (5.200, 0.7, 0.8, 1.5, 1.7, 3.0, 3.3),
    (8.000, 0.9, 1.0, 1.9, 2.1, 3.8, 4.1),
    (10.000, 1.1, 1.2, 2.3, 2.5, 4.6, 4.9),
]


@pytest.mark.parametrize("row", TAPE_TABLE, ids=lambda row: f"{row[0]} m")
def test_tapes_are_as_good_as_their_class(row):
    metres, *printed = row
    assert [
        tape_permissible_error(metres * 1000, accuracy_class, hook)
        for accuracy_class in ("I", "II", "III")
        for hook in (False, True)
    ] == pytest.approx(printed)


def test_a_class_ii_tape_at_five_metres_has_the_uncertainty_of_the_guide():
    # from memory: JCGM 100:2008 4.3.7: half-width over the square root of three
    assert rectangular(1.3) == pytest.approx(0.7506, abs=5e-5)
    assert rectangular(1.5) == pytest.approx(0.866, abs=5e-4)
    tape = Instrument("tape", "II")
    # closed form: with the 1 mm reading step, 0.5 / sqrt 3
    assert standard_uncertainty(tape, 5000) == pytest.approx(hypot(1.3 / sqrt(3), 0.5 / sqrt(3)))


STEEL = Surfaces("steel", "steel", "steel", "steel")


def survey(corners) -> Measurement:
    """Exact readings of a quadrilateral with straight, square and plumbed sides, seen to be so:
    bottom left, bottom right, top right, top left; its sill is level."""
    (ax, ay), (bx, by), (cx, cy), (dx, dy) = corners
    lengths = {"left": dy, "right": cy, "head": cx - dx, "sill": bx}
    opening = Opening(
        widths=(PlacedReading(0, bx - ax), PlacedReading(dy, cx - dx)),
        heights=(PlacedReading(0, dy - ay), PlacedReading(bx, cy - by)),
        diagonals=Diagonals(hypot(cx - ax, cy - ay), hypot(bx - dx, by - dy)),
        sill_levels=(PlacedReading(0, 0), PlacedReading(bx, 0)),
        straightedge=tuple(Straightedge(side, 0.0) for side in lengths),
        splay=tuple(Splay(side, at, 0.0) for side, length in lengths.items() for at in (0, length)),
    )
    return Measurement(opening, EXACT, EXACT, PRIORS, STEEL)


# closed form; the parallelogram and the trapezium of equal or unequal widths
@pytest.mark.parametrize(
    ("corners", "clear_width"),
    [
        (((0, 0), (3000, 0), (3000, 2100), (0, 2100)), 3000),
        (((0, 0), (3000, 0), (3010, 2100), (10, 2100)), 2990),
        (((0, 0), (3000, 0), (2980, 2100), (20, 2100)), 2960),
    ],
)
def test_the_widest_plumb_strip_is_that_of_plane_geometry(corners, clear_width):
    assessed = assess_opening(survey(corners), NO_CLEARANCE, 0.95)
    found = assessed.clear_width.value
    # A straightedge and a square are read to half a millimetre, which a strip is the poorer for.
    assert clear_width - 2.5 <= found <= clear_width + 0.5
    assert 2097.5 <= assessed.clear_height.value <= 2100.5
    # reference library: shapely; what is claimed clear lies within the opening
    left = max(corners[0][0], corners[3][0])
    strip = box(left, 0, left + found - 1, 2100)
    assert Polygon(corners).buffer(0.5).contains(strip)


@pytest.mark.parametrize(("shear", "difference"), [(2, 3.2769), (5, 8.1923), (10, 16.3846)])
def test_a_racked_frame_shows_in_the_difference_of_its_diagonals(shear, difference):
    # closed form: 2 W s / D for 3000 x 2100
    rising, falling = hypot(3000 + shear, 2100), hypot(3000 - shear, 2100)
    assert rising - falling == pytest.approx(difference, abs=1e-3)
    corners = ((0, 0), (3000, 0), (3000 + shear, 2100), (shear, 2100))
    shape = assess_opening(survey(corners), NO_CLEARANCE, 0.95).shape
    assert shape.left_lean == pytest.approx(shear, abs=0.3)
