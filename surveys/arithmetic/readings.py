"""Readings of an opening, as they are taken: mm, seen from outside, x right, y up."""

from dataclasses import dataclass, field
from math import isfinite

from jobs.arithmetic.errors import UnusableInput
from jobs.sentences import sentence
from surveys.arithmetic.uncertainty import Instrument, standard_uncertainty

FEWEST = 2
# Two-sided 0.1 % of a normal distribution: beyond it a single reading is to blame.
GREATEST_NORMALISED_RESIDUAL = 3.29
# How far beyond the opening's own size a reading may claim to lie before it must be a slip, mm.
BEYOND = 100.0


@dataclass(frozen=True, slots=True)
class PlacedReading:
    """`at`: height above the sill for a width or a plumb reading, else distance from the left."""

    at: float
    value: float


@dataclass(frozen=True, slots=True)
class Diagonals:
    """`rising` runs from bottom left to top right, `falling` from top left to bottom right."""

    rising: float
    falling: float


@dataclass(frozen=True, slots=True)
class Plumb:
    """Distances to the right of one plumb line per jamb."""

    left: tuple[PlacedReading, ...] = ()
    right: tuple[PlacedReading, ...] = ()


@dataclass(frozen=True, slots=True)
class Opening:
    """Two widths, two heights and both diagonals at least; levels are heights above one line."""

    widths: tuple[PlacedReading, ...]
    heights: tuple[PlacedReading, ...]
    diagonals: Diagonals
    sill_levels: tuple[PlacedReading, ...] = ()
    head_levels: tuple[PlacedReading, ...] = ()
    plumb: Plumb = field(default_factory=Plumb)


@dataclass(frozen=True, slots=True)
class Priors:
    """What is known of openings before any reading, mm, one standard deviation each."""

    straightness: float
    levelness: float
    plumbness: float


@dataclass(frozen=True, slots=True)
class Measurement:
    """An opening's readings with the instruments they were taken with."""

    opening: Opening
    instrument: Instrument
    level_instrument: Instrument | None
    priors: Priors


def check(measurement: Measurement) -> None:
    """Raises `UnusableInput`, naming the field, for a set that cannot be adjusted."""
    opening = measurement.opening
    for name, readings in (("widths", opening.widths), ("heights", opening.heights)):
        if len(readings) < FEWEST:
            raise UnusableInput(
                f"/opening/{name}", sentence("give at least {fewest} readings", fewest=FEWEST)
            )
        for index, reading in enumerate(readings):
            check_size(f"/opening/{name}/{index}/value", reading.value)
    check_size("/opening/diagonals/rising", opening.diagonals.rising)
    check_size("/opening/diagonals/falling", opening.diagonals.falling)
    _check_instrument("/instrument", measurement.instrument)
    if measurement.level_instrument is not None:
        _check_instrument("/level_instrument", measurement.level_instrument)
    elif _needs_level(opening):
        raise UnusableInput(
            "/level_instrument", sentence("levels or plumb readings need the instrument")
        )
    width = max(reading.value for reading in opening.widths)
    height = max(reading.value for reading in opening.heights)
    for pointer, readings, limit in (
        ("/opening/widths", opening.widths, height),
        ("/opening/heights", opening.heights, width),
        ("/opening/sill_levels", opening.sill_levels, width),
        ("/opening/head_levels", opening.head_levels, width),
        ("/opening/plumb/left", opening.plumb.left, height),
        ("/opening/plumb/right", opening.plumb.right, height),
    ):
        _check_places(pointer, readings, limit + BEYOND)


def check_size(pointer: str, size: float) -> None:
    if not (isfinite(size) and size > 0):
        raise UnusableInput(pointer, sentence("{size:g} is not a size; give mm above 0", size=size))


def _check_instrument(pointer: str, instrument: Instrument) -> None:
    """An instrument names its own fields; the request knows which instrument it is."""
    try:
        standard_uncertainty(instrument, 0.0)
    except UnusableInput as refusal:
        raise UnusableInput(pointer + refusal.pointer, refusal.detail) from refusal


def _needs_level(opening: Opening) -> bool:
    plumb = opening.plumb
    return bool(opening.sill_levels or opening.head_levels or plumb.left or plumb.right)


def _check_places(pointer: str, readings: tuple[PlacedReading, ...], limit: float) -> None:
    for index, reading in enumerate(readings):
        if not (isfinite(reading.at) and isfinite(reading.value)):
            raise UnusableInput(f"{pointer}/{index}", sentence("not a finite number"))
        if not 0 <= reading.at <= limit:
            raise UnusableInput(
                f"{pointer}/{index}/at",
                sentence(
                    "{at:g} mm lies outside the opening; give 0 to {limit:g}",
                    at=reading.at,
                    limit=limit - BEYOND,
                ),
            )
