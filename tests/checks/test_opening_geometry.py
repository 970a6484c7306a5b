"""Tape errors and the geometry of openings against published values and closed forms."""

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


# published: Directive 2014/32/EU Annex X; L rounded up to the next whole metre
@pytest.mark.parametrize(
    ("metres", "accuracy_class", "hook", "error"),
    [
        (5, "II", False, 1.3),
        (10, "I", False, 1.1),
        (10, "II", False, 2.3),
        (10, "III", False, 4.6),
        (2.134, "II", False, 0.9),
        (3.000, "II", False, 0.9),
        (3.001, "II", True, 1.3),
        (4.800, "III", True, 2.9),
        (8.000, "I", True, 1.0),
    ],
)
def test_tapes_are_as_good_as_their_class(metres, accuracy_class, hook, error):
    assert tape_permissible_error(metres * 1000, accuracy_class, hook) == pytest.approx(error)


def test_a_class_ii_tape_at_five_metres_has_the_uncertainty_of_the_guide():
    # from memory: JCGM 100:2008 4.3.7: half-width over the square root of three
    assert rectangular(1.3) == pytest.approx(0.7506, abs=5e-5)
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
    found = assess_opening(survey(corners, priors), NO_CLEARANCE, 0.95).clear_width.value
    assert found == pytest.approx(clear_width, abs=1.0)
    # reference library: shapely; what is claimed clear lies within the opening
    left = max(corners[0][0], corners[3][0])
    strip = box(left, 0, left + found - 1, 2100)
    assert Polygon(corners).buffer(0.5).contains(strip)


def braced(diagonal_error: float) -> Measurement:
    """3000 x 2100 with each side read once and one diagonal too long."""
    width, height = 3000.0, 2100.0
    diagonal = hypot(width, height)
    opening = Opening(
        (PlacedReading(0, width), PlacedReading(height, width)),
        (PlacedReading(0, height), PlacedReading(width, height)),
        Diagonals(diagonal + diagonal_error, diagonal),
    )
    return Measurement(opening, EXACT, None, Priors(1e-3, 1e3, 1e3))


def test_a_braced_rectangle_shares_its_misclosure_as_the_reference_optimiser_does():
    # reference library: scipy.optimize.least_squares on the same six equally good lengths
    def residuals(x):
        bx, cx, cy, dx, dy = x
        return np.array(
            [
                bx - 3000,
                hypot(cx - dx, cy - dy) - 3000,
                hypot(dx, dy) - 2100,
                hypot(cx - bx, cy) - 2100,
                hypot(cx, cy) - hypot(3000, 2100) - 4,
                hypot(bx - dx, dy) - hypot(3000, 2100),
            ]
        )

    reference = residuals(least_squares(residuals, [3000, 3000, 2100, 0, 2100]).x)
    # closed form: e W / 4D, e H / 4D, -e / 4 for e = 4
    assert reference == pytest.approx([0.819, 0.819, 0.573, 0.573, -1.0, -1.0], abs=2e-3)
    found = {r.reading: r.residual for r in adjust(braced(4)).residuals}
    assert [found[name] for name in ("widths.0", "heights.0", "diagonals.rising")] == (
        pytest.approx([0.819, 0.573, -1.0], abs=3e-3)
    )


def test_a_braced_rectangle_alone_cannot_tell_which_reading_is_to_blame():
    # closed form: one redundancy; widths 0.168, heights 0.082, diagonals 0.25, sum 1
    adjustment = adjust(braced(4))
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
