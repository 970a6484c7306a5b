"""Sets of whole millimetres along a member, as the bits of one number.

Bit x is set where x mm belongs to the set, so that a shift moves all places at once.
"""

from math import ceil, floor

import numpy as np
import numpy.typing as npt

Places = int


def between(start: float, end: float, length: float) -> Places:
    """All whole mm from `start` to `end` that lie on a member of this length."""
    first, last = max(0, ceil(start)), min(floor(length), floor(end))
    return ((1 << (last - first + 1)) - 1) << first if first <= last else 0


def lowest(places: Places) -> int:
    """The lowest of the places, mm; -1 where there are none."""
    return (places & -places).bit_length() - 1


def highest(places: Places) -> int:
    """The highest of the places, mm; -1 where there are none."""
    return places.bit_length() - 1


def in_mm(places: Places) -> npt.NDArray[np.int64]:
    """The places in mm, ascending."""
    octets = places.to_bytes(places.bit_length() // 8 + 1, "little")
    return np.flatnonzero(np.unpackbits(np.frombuffer(octets, np.uint8), bitorder="little"))


def spread(places: Places, span: int) -> Places:
    """All places 0 to `span` mm beyond any of `places`."""
    covered = 1
    while covered <= span:
        step = min(covered, span + 1 - covered)
        places |= places << step
        covered += step
    return places


def next_places(places: Places, allowed: Places, smallest: int, largest: int) -> Places:
    """Allowed places `smallest` to `largest` mm beyond any of `places`."""
    return (spread(places, largest - smallest) << smallest) & allowed
