"""Openings that the arithmetic is tried on."""

from dataclasses import replace

from surveys.arithmetic.fit_request import FitRequest
from surveys.arithmetic.opening_fit import decide_fit
from surveys.arithmetic.placement import Clearance, Frame
from surveys.arithmetic.readings import (
    Diagonals,
    Measurement,
    Opening,
    PlacedReading,
    Plumb,
    Priors,
    Splay,
    Straightedge,
)
from surveys.arithmetic.uncertainty import Instrument

PRIORS = Priors(straightness=3, levelness=10, plumbness=10)
TAPE = Instrument("tape", "II")
LASER = Instrument("laser", expanded_uncertainty=1.0, coverage_factor=2.0)
CLEARANCE = Clearance(7.5, 7.5, 5, 0)


def readings(*pairs):
    return tuple(PlacedReading(float(at), float(value)) for at, value in pairs)


def square(width, height):
    """Reveals that are square: read with a square near both ends of each side."""
    lengths = {"left": height, "right": height, "head": width, "sill": width}
    return tuple(
        Splay(side, float(at), 0.0) for side, length in lengths.items() for at in (50, length - 50)
    )


# Nowhere does the wall stand into the opening beyond the line through the ends of its side.
FLAT = tuple(Straightedge(side, 0.0) for side in ("left", "right", "head", "sill"))


# Every width reads 3612, but both jambs lean 14 mm to the right over the height.
LEANING = Opening(
    widths=readings((100, 3612), (1060, 3612), (2020, 3612)),
    heights=readings((100, 2120), (1800, 2120), (3500, 2121)),
    diagonals=Diagonals(4199, 4178),
    sill_levels=readings((0, 0), (1806, -1), (3612, -3)),
    plumb=Plumb(readings((0, 0), (2100, 14)), readings((0, 0), (2100, 14))),
    straightedge=FLAT,
    splay=square(3612, 2120),
)


# An old house. Corners (0, 0), (3612, 40), (3672, 2120), (60, 2120): both jambs lean 60 mm to the
# right and the sill rises 40. Closed form: hypot(3672, 2120) and hypot(3612 - 60, 2120 - 40).
CROOKED = Opening(
    widths=readings((100, 3612), (1060, 3612), (2020, 3612)),
    heights=readings((100, 2119), (1806, 2100), (3512, 2081)),
    diagonals=Diagonals(4240, 4116),
    sill_levels=readings((0, 0), (1806, 20), (3612, 40)),
    plumb=Plumb(readings((0, 0), (2120, 60)), readings((0, 0), (2120, 60))),
    straightedge=FLAT,
    splay=square(3612, 2080),
)


def measured(opening: Opening = LEANING, level: Instrument | None = LASER) -> Measurement:
    return Measurement(opening, TAPE, level, PRIORS)


def decide(width: float, height: float = 2105, opening: Opening = LEANING, **values):
    request = FitRequest(measured(opening), Frame(width, height), CLEARANCE, 15, 0.95)
    return decide_fit(replace(request, **values))
