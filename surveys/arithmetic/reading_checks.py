"""Which readings of an opening cannot have been taken; each refusal names its field."""

from collections.abc import Sequence
from math import isfinite

from jobs.arithmetic.errors import UnusableInput
from jobs.sentences import sentence
from surveys.arithmetic.readings import (
    BEYOND,
    FEWEST,
    GREATEST_HUMP,
    SAME_HUMP,
    SIDES,
    KnownLength,
    Measurement,
    Opening,
    PlacedReading,
    Side,
    Splay,
    Straightedge,
)
from surveys.arithmetic.uncertainty import Instrument, standard_uncertainty


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
    _check_instruments(measurement)
    width = max(reading.value for reading in opening.widths)
    height = max(reading.value for reading in opening.heights)
    for pointer, readings, limit in (
        ("/opening/widths", opening.widths, height),
        ("/opening/heights", opening.heights, width),
        ("/opening/sill_levels", opening.sill_levels, width),
        ("/opening/head_levels", opening.head_levels, width),
        ("/opening/plumb/left", opening.plumb.left, height),
        ("/opening/plumb/right", opening.plumb.right, height),
        ("/opening/checks/widths", opening.checks.widths, height),
        ("/opening/checks/heights", opening.checks.heights, width),
    ):
        _check_places(pointer, readings, limit + BEYOND)
    _check_splay(opening.splay, {"left": height, "right": height, "head": width, "sill": width})
    _check_straightedges(opening.straightedge)
    _check_known_lengths(opening.checks.known_lengths)


def check_size(pointer: str, size: float) -> None:
    if not (isfinite(size) and size > 0):
        raise UnusableInput(pointer, sentence("{size:g} is not a size; give mm above 0", size=size))


def _check_instruments(measurement: Measurement) -> None:
    opening = measurement.opening
    _check_instrument("/instrument", measurement.instrument)
    if measurement.level_instrument is not None:
        _check_instrument("/level_instrument", measurement.level_instrument)
    elif _needs_level(opening):
        raise UnusableInput(
            "/level_instrument", sentence("levels or plumb readings need the instrument")
        )
    if measurement.check_instrument is not None:
        _check_instrument("/check_instrument", measurement.check_instrument)
    elif opening.checks.widths or opening.checks.heights:
        raise UnusableInput(
            "/check_instrument", sentence("sizes that were read again need the second instrument")
        )


def _check_instrument(pointer: str, instrument: Instrument) -> None:
    """An instrument names its own fields; the request knows which instrument it is."""
    try:
        standard_uncertainty(instrument, 0.0)
    except UnusableInput as refusal:
        raise UnusableInput(pointer + refusal.pointer, refusal.detail) from refusal


def _needs_level(opening: Opening) -> bool:
    plumb = opening.plumb
    return bool(opening.sill_levels or opening.head_levels or plumb.left or plumb.right)


def _check_places(pointer: str, readings: Sequence[PlacedReading | Splay], limit: float) -> None:
    for index, reading in enumerate(readings):
        _check_place(f"{pointer}/{index}", reading, limit)


def _check_place(pointer: str, reading: PlacedReading | Splay, limit: float) -> None:
    if not (isfinite(reading.at) and isfinite(reading.value)):
        raise UnusableInput(pointer, sentence("not a finite number"))
    if not 0 <= reading.at <= limit:
        raise UnusableInput(
            f"{pointer}/at",
            sentence(
                "{at:g} mm lies outside the opening; give 0 to {limit:g}",
                at=reading.at,
                limit=limit - BEYOND,
            ),
        )


def _check_splay(splay: tuple[Splay, ...], lengths: dict[Side, float]) -> None:
    for index, reading in enumerate(splay):
        _check_side(f"/opening/splay/{index}", reading.side)
        _check_place(f"/opening/splay/{index}", reading, lengths[reading.side] + BEYOND)


def _check_straightedges(straightedges: tuple[Straightedge, ...]) -> None:
    first: dict[Side, float] = {}
    for index, reading in enumerate(straightedges):
        pointer = f"/opening/straightedge/{index}"
        _check_side(pointer, reading.side)
        if not 0 <= reading.hump <= GREATEST_HUMP:
            raise UnusableInput(
                f"{pointer}/hump",
                sentence("give 0 to {greatest:g} mm", greatest=GREATEST_HUMP),
            )
        if abs(reading.hump - first.setdefault(reading.side, reading.hump)) > SAME_HUMP:
            raise UnusableInput(
                f"{pointer}/hump",
                sentence(
                    "{hump:g} mm contradicts {other:g} mm, which was read of the same side; lay "
                    "it off again and give the right one",
                    hump=reading.hump,
                    other=first[reading.side],
                ),
            )


def _check_side(pointer: str, side: str) -> None:
    if side not in SIDES:
        raise UnusableInput(
            f"{pointer}/side",
            sentence("there is no such side; there are: {sides}", sides=", ".join(SIDES)),
        )


def _check_known_lengths(known_lengths: tuple[KnownLength, ...]) -> None:
    for index, known in enumerate(known_lengths):
        pointer = f"/opening/checks/known_lengths/{index}"
        check_size(f"{pointer}/length", known.length)
        check_size(f"{pointer}/value", known.value)
        if abs(known.value - known.length) > BEYOND:
            raise UnusableInput(
                f"{pointer}/value",
                sentence(
                    "{value:g} mm cannot be read of a rule of {length:g} mm",
                    value=known.value,
                    length=known.length,
                ),
            )
