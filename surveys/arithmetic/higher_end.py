"""Levels whose sign was swapped: read downwards from a line instead of upwards from one."""

import numpy as np

from surveys.arithmetic.answers import Suspect
from surveys.arithmetic.readings import End, Opening, PlacedReading
from surveys.arithmetic.walled_opening import WalledOpening

# A fall that a level line shows beyond its own errors, mm.
PLAIN_FALL = 3.0
# The swapped readings are excluded where they are less probable than this beside those taken.
EXCLUDED = 0.02
LINES = {"sill": "sill_levels", "head": "head_levels"}


def not_excluded(opening: WalledOpening, side: str) -> bool:
    """Whether the levels of the sill or head might as well have the other sign."""
    rows = opening.rows
    swapped = np.array([name.startswith(LINES[side]) for name in rows.names])
    if not swapped.any() or np.ptp(rows.values[swapped]) < PLAIN_FALL:
        return False
    prior = opening.prior
    readings = prior.readings[:, :3].mean(axis=1).sum(axis=0) + prior.line_readings
    inverse = np.linalg.inv(readings)
    other = np.where(swapped, -rows.values, rows.values)
    less = other @ inverse @ other - rows.values @ inverse @ rows.values
    return bool(np.exp(-0.5 * less) > EXCLUDED)


def swapped_levels(taken: Opening) -> tuple[Suspect, ...]:
    """The levels of a side whose higher end is seen to be another than the one that they say, with
    what they read with the other sign."""
    suspects: list[Suspect] = []
    for side, name in LINES.items():
        levels: tuple[PlacedReading, ...] = getattr(taken, name)
        seen = getattr(taken.higher_end, side)
        if seen is not None and levels and seen != _higher_end(levels):
            middle = sum(level.value for level in levels) / len(levels)
            suspects += (
                Suspect(f"{name}.{index}", PLAIN_FALL, 2 * middle - level.value)
                for index, level in enumerate(levels)
            )
    return tuple(suspects)


def _higher_end(levels: tuple[PlacedReading, ...]) -> End:
    by_place = sorted(levels, key=lambda reading: reading.at)
    rise = by_place[-1].value - by_place[0].value
    if abs(rise) < PLAIN_FALL:
        return "level"
    return "right" if rise > 0 else "left"
