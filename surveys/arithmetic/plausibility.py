"""Slips of tape and thumb that the sizes of one opening show by themselves: metres, centimetres, a
diagonal that was forgotten, a size off by a digit against the others.

Nothing is refused for what others doubt: it makes somebody look twice. The page on a phone does the
same without a network (`static/surveys/plausibility.js`), by the thresholds that it is given.
Lengths in mm; readings are named as in the adjustment: `widths.0`, `diagonals.rising`.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import hypot
from statistics import median
from typing import Literal

from surveys.arithmetic.readings import FEWEST

DoubtKind = Literal["metres", "centimetres", "impossible", "missing", "few", "off"]
Sizes = Mapping[str, Sequence[float | None]]
DIAGONALS = ("rising", "falling")


@dataclass(frozen=True, slots=True)
class Thresholds:
    """`lowest` and `highest`: what a width or height can be, as the endpoint has it; `longest`: a
    diagonal. `spread`: how far a size lies from the middle one of its kind before somebody should
    look again; `diagonal`: the same of a diagonal from what the sizes make it. Common practice, no
    source: openings are out by a centimetre or two, and a digit misread is off by ten at the least.
    """

    lowest: float = 300.0
    highest: float = 20_000.0
    longest: float = 30_000.0
    spread: float = 30.0
    diagonal: float = 60.0
    fewest: int = FEWEST


@dataclass(frozen=True, slots=True)
class Doubt:
    """`about`: what it should be, mm, where the others or the unit tell; else 0."""

    reading: str
    kind: DoubtKind
    about: float = 0.0

    @property
    def may_be_right(self) -> bool:
        """Only the opening itself can tell; the rest cannot be."""
        return self.kind in ("off", "centimetres")


def doubts(sizes: Sizes, diagonals: Mapping[str, float | None], t: Thresholds) -> list[Doubt]:
    """Of `widths` and `heights` in the order of their fields, None where nothing was read."""
    found: list[Doubt] = []
    for kind in ("widths", "heights"):
        found += _of_sizes(kind, sizes[kind], t)
    middles = [_middle(_possible(sizes[kind], t)) for kind in ("widths", "heights")]
    found += _of_diagonals(diagonals, middles, t)
    return found


def _of_sizes(kind: str, values: Sequence[float | None], t: Thresholds) -> Iterator[Doubt]:
    middle = _middle(_possible(values, t))
    for index, value in enumerate(values):
        if value is not None:
            yield from _doubt(f"{kind}.{index}", value, middle, t.spread, t.highest, t)
    empty = [index for index, value in enumerate(values) if value is None]
    if len(values) - len(empty) < t.fewest and empty:
        yield Doubt(f"{kind}.{empty[0]}", "few")


def _of_diagonals(
    given: Mapping[str, float | None], middles: Sequence[float], t: Thresholds
) -> Iterator[Doubt]:
    expected = hypot(*middles) if all(middles) else 0.0
    for name in DIAGONALS:
        value = given.get(name)
        if value is None:
            yield Doubt(f"diagonals.{name}", "missing", expected)
        else:
            yield from _doubt(f"diagonals.{name}", value, expected, t.diagonal, t.longest, t)


def _doubt(  # noqa: PLR0917
    reading: str, value: float, middle: float, within: float, highest: float, t: Thresholds
) -> Iterator[Doubt]:
    """The unit first, since it explains a value that is far off; `middle` is 0 where unknown."""
    if value < t.lowest:
        if t.lowest <= value * 1000 <= highest:
            yield Doubt(reading, "metres", value * 1000)
        elif t.lowest <= value * 10 <= highest:
            yield Doubt(reading, "centimetres", value * 10)
        else:
            yield Doubt(reading, "impossible")
    elif value > highest:
        yield Doubt(reading, "impossible")
    elif middle and abs(value - middle) > within:
        in_centimetres = abs(value * 10 - middle) <= within
        kind: DoubtKind = "centimetres" if in_centimetres else "off"
        yield Doubt(reading, kind, value * 10 if in_centimetres else middle)


def _possible(values: Sequence[float | None], t: Thresholds) -> list[float]:
    return [value for value in values if value is not None and t.lowest <= value <= t.highest]


def _middle(values: Sequence[float]) -> float:
    """0 where one value alone has nothing to be held against."""
    return float(median(values)) if len(values) > 1 else 0.0
