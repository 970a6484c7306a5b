"""Where each reading of an opening goes, as SVG: numbered lines on its outline.

Pure: data in, text out. The numbers are those beside the fields, so that the drawing can be
followed without a script; with one, the mark of the field in hand is lit (class `now`).
"""

from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass

from django.utils.translation import gettext as _

from jobs.svg import Canvas, circle, drawing, element, path, rectangle, text
from surveys.reading_kinds import KNOWN_LENGTHS, Size
from surveys.reading_slots import Slot

# Shares of the opening at which numbers stand clear of each other.
WIDTH_NUMBER, HEIGHT_NUMBER, DIAGONAL_NUMBER = 0.36, 0.3, 0.2
WIDTH_AGAIN, HEIGHT_AGAIN = 0.62, 0.75
# Lengths of the drawing in its own unit, a thirtieth of its width.
PER_WIDTH, STALK, BADGE, MARGIN, INSIDE = 30, 2.6, 1.2, 4.6, 1.6


@dataclass(frozen=True, slots=True)
class Line:
    """A reading's line from end to end, and where its number stands; mm, y up."""

    start: tuple[float, float]
    end: tuple[float, float]
    number_at: tuple[float, float]


def line_of(slot: Slot, size: Size, unit: float) -> Line:
    """Sizes and diagonals run across the opening, straightedges along its sides; what is read of a
    side at a place stands off its edge."""
    tool, _dot, side = slot.kind.partition(".")
    if slot.kind == "diagonals":
        return _diagonal(slot.name, size)
    if tool == "straightedge":
        return _straightedge(side, size, INSIDE * unit)
    if slot.kind.endswith("widths") or slot.kind.endswith("heights"):
        return _across(slot, size)
    width, height, at = size.width, size.height, slot.at or 0.0
    off = STALK * unit
    foot, away = {
        "sill_levels": ((at, 0.0), (at, -off)),
        "head_levels": ((at, height), (at, height + off)),
        "plumb.left": ((0.0, at), (-off, at)),
        "plumb.right": ((width, at), (width + off, at)),
        "splay.left": ((0.0, at), (-off, at)),
        "splay.right": ((width, at), (width + off, at)),
        "splay.head": ((at, height), (at, height + off)),
        "splay.sill": ((at, 0.0), (at, -off)),
    }[slot.kind]
    return Line(foot, away, away)


def _across(slot: Slot, size: Size) -> Line:
    width, height, at = size.width, size.height, slot.at or 0.0
    # What is read again stands clear of what was read first.
    again = slot.kind.startswith("checks")
    if slot.kind.endswith("widths"):
        return Line((0, at), (width, at), ((WIDTH_AGAIN if again else WIDTH_NUMBER) * width, at))
    return Line((at, 0), (at, height), (at, (HEIGHT_AGAIN if again else HEIGHT_NUMBER) * height))


def _diagonal(name: str, size: Size) -> Line:
    width, height = size.width, size.height
    if name == "diagonals.rising":
        number_at = (DIAGONAL_NUMBER * width, DIAGONAL_NUMBER * height)
        return Line((0, 0), (width, height), number_at)
    number_at = (DIAGONAL_NUMBER * width, (1 - DIAGONAL_NUMBER) * height)
    return Line((0, height), (width, 0), number_at)


def _straightedge(side: str, size: Size, inside: float) -> Line:
    """Along nearly the whole side, a little inside of it, its number in the middle."""
    width, height = size.width, size.height
    if side in ("left", "right"):
        x = inside if side == "left" else width - inside
        return Line((x, inside), (x, height - inside), (x, height / 2))
    y = inside if side == "sill" else height - inside
    return Line((inside, y), (width - inside, y), (width / 2, y))


def unit_of(size: Size) -> float:
    """The length by which numbers and marks are drawn, mm."""
    return max(size.width, 1.4 * size.height) / (PER_WIDTH - 2 * MARGIN)


def guide_svg(size: Size, slots: Iterable[Slot], words: str, suspects: Collection[str] = ()) -> str:
    """The outline with a numbered line for every slot; `words` say what the drawing shows.

    A rule of known length is no part of it. Suspects, by name, come last and so on top: class
    `suspect`, and a question mark.
    """
    drawn = (slot for slot in slots if slot.kind != KNOWN_LENGTHS)
    ordered = sorted(drawn, key=lambda slot: slot.name in suspects)
    unit = unit_of(size)
    margin = MARGIN * unit
    canvas = Canvas(
        -margin, -margin, size.width + 2 * margin, size.height + 2 * margin, 1.25 * unit
    )
    strokes = (
        rectangle(0, 0, size.width, size.height, weight=unit / 4, data_part="opening"),
        *(() if suspects else _datums(size, ordered, unit)),
        *(_mark(slot, size, unit, slot.name in suspects) for slot in ordered),
    )
    return drawing(canvas, _description(words, ordered, suspects), strokes, weight=unit / 10)


def _description(words: str, slots: list[Slot], suspects: Collection[str]) -> str:
    described = [slot for slot in slots if slot.name in suspects] or slots
    return f"{words} {'; '.join(f'{slot.number} {slot.exactly}' for slot in described)}."


def _datums(size: Size, slots: list[Slot], unit: float) -> Iterator[str]:
    """Lines that levels and plumb readings are counted from, and the sides' names."""
    kinds = {slot.kind for slot in slots}
    middle, inside = size.height / 2, 2.2 * unit
    if "sill_levels" in kinds:
        yield _dashed((0, middle), (size.width, middle), unit)
        yield text(size.width / 2, middle - 0.6 * unit, _("level line"))
    if "plumb.left" in kinds:
        for x, anchor, along in ((inside, "start", 1), (size.width - inside, "end", -1)):
            yield _dashed((x, 0), (x, size.height), unit)
            yield text(x + along * 0.5 * unit, 0.25 * size.height, _("plumb line"), anchor=anchor)
    if "widths" in kinds:
        yield text(size.width / 2, -1.2 * unit, _("head"))
        yield text(size.width / 2, size.height + 2.2 * unit, _("sill, seen from outside"))


def _dashed(start: tuple[float, float], end: tuple[float, float], unit: float) -> str:
    dashes = f"{unit:.0f} {0.5 * unit:.0f}"
    return path(start, end, data_part="datum", stroke_dasharray=dashes)


def _mark(slot: Slot, size: Size, unit: float, suspect: bool) -> str:
    """A reading's line with its number; `data-mark` ties it to its field."""
    line, height = line_of(slot, size, unit), size.height
    (x1, y1), (x2, y2), (x, y) = line.start, line.end, line.number_at
    number = f"{slot.number}?" if suspect else str(slot.number)
    return element(
        "g",
        path((x1, height - y1), (x2, height - y2)),
        circle(x, height - y, BADGE * unit),
        text(x, height - y + 0.45 * unit, number, bold=True),
        class_="suspect" if suspect else "sound",
        data_mark=slot.name,
    )
