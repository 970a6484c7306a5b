"""Tape errors and the geometry of openings against published values and closed forms."""

from collections.abc import Sequence
from math import hypot, sqrt

import numpy as np
import pytest
from scipy.optimize import least_squares
from shapely.geometry import Polygon, box

from surveys.arithmetic.adjustment import adjust
from surveys.arithmetic.opening_fit import assess_opening
from surveys.arithmetic.placement import Clearance
from surveys.arithmetic.readings import Diagonals, Measurement, Opening, PlacedReading, Priors
from surveys.arithmetic.uncertainty import (
    Instrument,
    rectangular,
    standard_uncertainty,
    tape_permissible_error,
)

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


def survey(corners, priors: Priors) -> Measurement:
    """Exact readings of a quadrilateral: bottom left, bottom right, top right, top left."""
    (ax, ay), (bx, by), (cx, cy), (dx, dy) = corners
    widths = (PlacedReading(0, bx - ax), PlacedReading(dy, cx - dx))
    heights = (PlacedReading(0, dy - ay), PlacedReading(bx, cy - by))
    opening = Opening(widths, heights, Diagonals(hypot(cx - ax, cy - ay), hypot(bx - dx, by - dy)))
    return Measurement(opening, EXACT, None, priors)


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
    # Readings alone do not say which way is up: a level sill is known here.
    priors = Priors(straightness=1e-3, levelness=1e-3, plumbness=1e3)
    assessed = assess_opening(survey(corners, priors), NO_CLEARANCE, 0.95)
    found = assessed.clear_width.value
    assert found == pytest.approx(clear_width, abs=1.0)
    assert assessed.clear_height.value == pytest.approx(2100, abs=1.0)
    # reference library: shapely; what is claimed clear lies within the opening
    left = max(corners[0][0], corners[3][0])
    strip = box(left, 0, left + found - 1, 2100)
    assert Polygon(corners).buffer(0.5).contains(strip)


def braced(readings: Sequence[float]) -> Measurement:
    """A frame with its sill, right, head, left and both diagonals read once, all equally well."""
    sill, right, head, left, rising, falling = readings
    opening = Opening(
        (PlacedReading(0, sill), PlacedReading(left, head)),
        (PlacedReading(0, left), PlacedReading(sill, right)),
        Diagonals(rising, falling),
    )
    return Measurement(opening, EXACT, None, Priors(1e-3, 1e3, 1e3))


DIAGONAL = hypot(3000, 2100)
READ = ("widths.0", "heights.1", "widths.1", "heights.0", "diagonals.rising", "diagonals.falling")
BRACED = [
    (3000, 2100, 3000, 2100, DIAGONAL + 4, DIAGONAL),
    (3000, 2100, 3000, 2100, 3662, 3666),
    (3004, 2101, 2998, 2103, 3665, 3660),
]
MOVED = [
    (0.8195, 0.5736, 0.8195, 0.5736, -1.0008, -0.9997),
    (0.8331, 0.5832, 0.8331, 0.5832, -1.0164, -1.0175),
    (-0.5854, -0.4106, -0.5865, -0.4102, 0.7159, 0.7149),
]


def optimum(readings):
    """Adjusted less read, of six equally good lengths."""

    def moved(x):
        bx, cx, cy, dx, dy = x
        lengths = (
            bx,
            hypot(cx - bx, cy),
            hypot(cx - dx, cy - dy),
            hypot(dx, dy),
            hypot(cx, cy),
            hypot(bx - dx, dy),
        )
        return np.subtract(lengths, readings)

    return moved(least_squares(moved, [3000, 3000, 2100, 0, 2100], xtol=1e-12, ftol=1e-12).x)


@pytest.mark.parametrize(("readings", "moved"), [*zip(BRACED, MOVED, strict=True)])
def test_a_braced_frame_shares_its_misclosure_as_the_reference_optimiser_does(readings, moved):
    # reference library: scipy 1.17.1, scipy.optimize.least_squares
    assert optimum(readings) == pytest.approx(moved, abs=2e-4)
    found = {r.reading: r.residual for r in adjust(braced(readings)).residuals}
    assert [found[name] for name in READ] == pytest.approx(moved, abs=3e-3)


@pytest.mark.parametrize("readings", BRACED)
def test_each_length_of_a_braced_frame_moves_by_its_share_of_the_misclosure(readings):
    # closed form, to the first order: the lengths times their shares of a self-stressed frame
    whole = np.array([3000, 2100, 3000, 2100, -DIAGONAL, -DIAGONAL])
    nominal = np.abs(whole)
    misclosure = whole @ (np.array(readings) - nominal)
    found = {r.reading: r.residual for r in adjust(braced(readings)).residuals}
    assert [found[name] for name in READ] == pytest.approx(
        -whole * misclosure / (4 * DIAGONAL**2), abs=3e-3
    )


def test_a_braced_rectangle_alone_cannot_tell_which_reading_is_to_blame():
    # closed form: one redundancy; widths 0.168, heights 0.082, diagonals 0.25, sum 1
    adjustment = adjust(braced(BRACED[0]))
    shares = {r.reading: r.redundancy for r in adjustment.residuals}
    assert shares["widths.0"] == pytest.approx(0.168, abs=1e-3)
    assert shares["heights.0"] == pytest.approx(0.082, abs=1e-3)
    assert shares["diagonals.rising"] == pytest.approx(0.25, abs=1e-3)
    normalised = [abs(r.normalised) for r in adjustment.residuals]
    assert max(normalised) == pytest.approx(min(normalised), rel=0.01)
    assert len(adjustment.suspects) == 6


@pytest.mark.parametrize(("shear", "difference"), [(2, 3.2769), (5, 8.1923), (10, 16.3846)])
def test_a_racked_frame_shows_in_the_difference_of_its_diagonals(shear, difference):
    # closed form: 2 W s / D for 3000 x 2100
    rising, falling = hypot(3000 + shear, 2100), hypot(3000 - shear, 2100)
    assert rising - falling == pytest.approx(difference, abs=1e-3)
    corners = ((0, 0), (3000, 0), (3000 + shear, 2100), (shear, 2100))
    shape = assess_opening(survey(corners, Priors(1e-3, 1e-3, 1e3)), NO_CLEARANCE, 0.95).shape
    assert shape.left_lean == pytest.approx(shear, abs=0.3)
