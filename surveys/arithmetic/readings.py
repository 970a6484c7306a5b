"""Readings of an opening, as they are taken: mm, seen from outside, x right, y up."""

from dataclasses import dataclass, field
from math import inf
from typing import Literal

from surveys.arithmetic.uncertainty import Instrument

Side = Literal["left", "right", "head", "sill"]
Surface = Literal["masonry", "plaster", "timber", "steel", "concrete", "unknown"]
End = Literal["left", "right", "level"]
SIDES: tuple[Side, ...] = ("left", "right", "head", "sill")

FEWEST = 2
# Two-sided 0.1 % of a normal distribution: beyond it a single reading is to blame.
GREATEST_NORMALISED_RESIDUAL = 3.29
# How far beyond the opening's own size a reading may claim to lie before it must be a slip, mm.
BEYOND = 100.0
# A wall that stands further into its opening than this is not laid off with a straightedge, mm.
GREATEST_HUMP = 100.0
# Two straightedge readings of one side that differ by more are not of one side, mm.
SAME_HUMP = 3.0


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
class Straightedge:
    """A straightedge or string laid along a whole side with equal gaps at both ends: how far the
    wall stands into the opening beyond the line through the ends; 0 where it nowhere does."""

    side: Side
    hump: float


@dataclass(frozen=True, slots=True)
class Splay:
    """Of a reveal, read with a square over the frame's depth: how much further the inside edge
    stands into the opening than the outside edge, at a place along the side; may be negative."""

    side: Side
    at: float
    value: float


@dataclass(frozen=True, slots=True)
class KnownLength:
    """A rule of known length, read with the instrument of the survey."""

    length: float
    value: float


@dataclass(frozen=True, slots=True)
class Checks:
    """Sizes read again with a second instrument, and known lengths read with the first: what
    they share shows an error that all readings of one instrument have."""

    widths: tuple[PlacedReading, ...] = ()
    heights: tuple[PlacedReading, ...] = ()
    known_lengths: tuple[KnownLength, ...] = ()


@dataclass(frozen=True, slots=True)
class HigherEnd:
    """Which end of the sill and of the head is seen to be higher; None where nobody looked."""

    sill: End | None = None
    head: End | None = None


@dataclass(frozen=True, slots=True)
class Opening:
    """Two widths, two heights and both diagonals at least; levels are heights above one line.

    All of them are read at the outside face of the wall.
    """

    widths: tuple[PlacedReading, ...]
    heights: tuple[PlacedReading, ...]
    diagonals: Diagonals
    sill_levels: tuple[PlacedReading, ...] = ()
    head_levels: tuple[PlacedReading, ...] = ()
    plumb: Plumb = field(default_factory=Plumb)
    straightedge: tuple[Straightedge, ...] = ()
    splay: tuple[Splay, ...] = ()
    checks: Checks = field(default_factory=Checks)
    higher_end: HigherEnd = field(default_factory=HigherEnd)


@dataclass(frozen=True, slots=True)
class Surfaces:
    """What each side of the opening is made of where the frame comes."""

    left: Surface = "unknown"
    right: Surface = "unknown"
    head: Surface = "unknown"
    sill: Surface = "unknown"


@dataclass(frozen=True, slots=True)
class Priors:
    """What is known of openings before any reading, mm, one standard deviation each; `splay` is
    that of a reveal over the frame's depth. From `second_instrument_from` on, mm, the width is
    checked with a second instrument before a frame is ordered."""

    straightness: float
    levelness: float
    plumbness: float
    splay: float = 3.0
    second_instrument_from: float = inf


@dataclass(frozen=True, slots=True)
class Measurement:
    """An opening's readings with the instruments they were taken with."""

    opening: Opening
    instrument: Instrument
    level_instrument: Instrument | None
    priors: Priors
    surfaces: Surfaces = field(default_factory=Surfaces)
    check_instrument: Instrument | None = None
