"""The gaps at the junctions of the leaves, as first read and as they were left.

Gaps are true to one scale, which is drawn beside them; junctions stand at even distances. A head
gap is a filled triangle that points up, a sill gap an empty one that points down: the shorter the
stroke between the two, the straighter the leaves hang.
"""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from math import ceil, floor
from typing import Protocol

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from jobs.svg import Canvas, drawing, line, mm, path, text

# The height of a letter; then, in the same measure, a panel's height, the room of one junction, of
# the scale, between the panels, and of the words above and below.
UNIT = 10.0
PANEL_HEIGHT = 9 * UNIT
JUNCTION = 4.2 * UNIT
SCALE = 4 * UNIT
BETWEEN = 2.5 * UNIT
SMALL = 0.85 * UNIT
WORDS_ABOVE = 2.4 * UNIT
WORDS_BELOW = 4.6 * UNIT
MOST_JUNCTIONS_BESIDE = 7
SIGNS = {"pass": "✓", "fail": "✗", "inconclusive": "?"}


class ReadGap(Protocol):
    """The gaps of one junction as they were read and judged, mm."""

    @property
    def junction(self) -> int: ...
    @property
    def head_gap(self) -> float: ...
    @property
    def sill_gap(self) -> float: ...
    @property
    def limit(self) -> float: ...
    @property
    def decision(self) -> str: ...


@dataclass(frozen=True, slots=True)
class GapPair:
    """Gaps at head and sill of one junction, mm, and what was decided of their difference."""

    junction: int
    head: float
    sill: float
    decision: str


@dataclass(frozen=True, slots=True)
class GapRounds:
    """The first reading of every junction, and the one that counts."""

    first: tuple[GapPair, ...]
    last: tuple[GapPair, ...]
    limit: float

    @classmethod
    def read(cls, gaps: Iterable[ReadGap]) -> "GapRounds | None":
        """From the gaps of a frozen record, in the order of their reading; None without any."""
        first: dict[int, GapPair] = {}
        last: dict[int, GapPair] = {}
        limit = 0.0
        for gap in gaps:
            pair = GapPair(gap.junction, gap.head_gap, gap.sill_gap, gap.decision)
            first.setdefault(pair.junction, pair)
            last[pair.junction] = pair
            limit = gap.limit
        if not first:
            return None
        return cls(_in_order(first), _in_order(last), limit)

    @property
    def description(self) -> str:
        """What somebody who cannot see the drawing should know of it."""
        return ngettext(
            "Gaps at {count} junction. Greatest difference of head and sill: {first} mm as first "
            "read, {last} mm as left; at most {limit} mm is allowed.",
            "Gaps at {count} junctions. Greatest difference of head and sill: {first} mm as first "
            "read, {last} mm as left; at most {limit} mm is allowed.",
            len(self.first),
        ).format(
            count=len(self.first),
            first=mm(_worst(self.first)),
            last=mm(_worst(self.last)),
            limit=mm(self.limit),
        )


def gaps_svg(rounds: GapRounds) -> str:
    """An SVG document with both rounds side by side, or one below the other where there are many
    junctions; one scale for both."""
    count = len(rounds.first)
    beside = count <= MOST_JUNCTIONS_BESIDE
    panel = SCALE + JUNCTION * count
    height = WORDS_ABOVE + PANEL_HEIGHT + WORDS_BELOW
    step = (panel + BETWEEN, 0.0) if beside else (0.0, height)
    canvas = Canvas(0, 0, panel + step[0] + UNIT / 2, height + step[1], UNIT)
    scale = _scale(rounds)
    return drawing(
        canvas,
        rounds.description,
        [
            *_panel(_("As first read"), rounds.first, (0.0, 0.0), scale),
            *_panel(_("As left"), rounds.last, step, scale),
        ],
    )


def _panel(
    title: str, pairs: tuple[GapPair, ...], corner: tuple[float, float], scale: tuple[int, int]
) -> Iterator[str]:
    left, top = corner[0] + SCALE, corner[1] + WORDS_ABOVE
    yield text(corner[0], corner[1] + 1.1 * UNIT, title, bold=True, anchor="start")
    yield from _scale_lines(left, top, JUNCTION * len(pairs), scale)
    for number, pair in enumerate(pairs):
        yield from _pair(pair, left + JUNCTION * (number + 0.5), top, scale)


def _scale_lines(left: float, top: float, width: float, scale: tuple[int, int]) -> Iterator[str]:
    lowest, highest = scale
    for gap in range(lowest, highest + 1):
        y = _height(gap, top, scale)
        yield line(left, y, left + width, y, weight=UNIT / 50)
        label = f"{gap} mm" if gap == highest else f"{gap}"
        yield text(left - 0.4 * UNIT, y + 0.3 * UNIT, label, size=SMALL, anchor="end")


def _pair(pair: GapPair, x: float, top: float, scale: tuple[int, int]) -> Iterator[str]:
    head, sill = (_height(gap, top, scale) for gap in (pair.head, pair.sill))
    yield line(x, head, x, sill, weight=UNIT / 8)
    yield _triangle(x, head, up=True)
    yield _triangle(x, sill, up=False)
    below = top + PANEL_HEIGHT
    yield text(x, below + 1.5 * UNIT, str(pair.junction), bold=True)
    difference = f"{SIGNS.get(pair.decision, '')} {mm(abs(pair.head - pair.sill))}"
    yield text(x, below + 2.8 * UNIT, difference.strip(), size=SMALL)


def _triangle(x: float, y: float, *, up: bool) -> str:
    """Its tip at the gap that was read; the head's is left of the stroke, the sill's right."""
    way = 1 if up else -1
    x, foot, half = x - way * 0.5 * UNIT, y + way * 0.7 * UNIT, 0.4 * UNIT
    corners = ((x, y), (x - half, foot), (x + half, foot))
    return path(*corners, closed=True, fill="currentColor" if up else "#fff")


def _scale(rounds: GapRounds) -> tuple[int, int]:
    """Whole mm that hold every gap of both rounds, at least three apart."""
    gaps = [gap for pair in (*rounds.first, *rounds.last) for gap in (pair.head, pair.sill)]
    lowest = floor(min(gaps))
    return lowest, max(ceil(max(gaps)), lowest + 3)


def _height(gap: float, top: float, scale: tuple[int, int]) -> float:
    lowest, highest = scale
    return top + PANEL_HEIGHT * (highest - gap) / (highest - lowest)


def _worst(pairs: tuple[GapPair, ...]) -> float:
    return max(abs(pair.head - pair.sill) for pair in pairs)


def _in_order(pairs: Mapping[int, GapPair]) -> tuple[GapPair, ...]:
    return tuple(pairs[junction] for junction in sorted(pairs))
