"""The readings of an opening one by one: each with its number, its place and its name in words.

Form, drawing and list number a reading alike, so that "7" is the rising diagonal on all of
them. Lengths in mm, seen from outside; names are those of the adjustment: `widths.0`,
`diagonals.rising`, `plumb.left.2`.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import copysign
from typing import Any

from django.utils.translation import gettext

from jobs.figures import number
from surveys.reading_kinds import AFTER_DIAGONALS, DIAGONALS, KINDS, SIZES, Kind, Size


@dataclass(frozen=True, slots=True)
class Wanted:
    """A reading that is asked for: its kind, and the place where it has one, mm."""

    kind: str
    at: float | None = None


@dataclass(frozen=True, slots=True)
class Slot:
    """One reading, taken or still to be taken; a diagonal and a straightedge have no place."""

    number: int
    name: str
    words: str
    at: float | None
    value: float | None = None

    @property
    def kind(self) -> str:
        return self.name.rpartition(".")[0]

    @property
    def field(self) -> str:
        """The name of its field: `plumb_left_0` of `plumb.left.0`."""
        return self.name.replace(".", "_")

    @property
    def exactly(self) -> str:
        """`Width 1050 mm above the sill`; a diagonal by its ends."""
        if self.at is None:
            return str(self.words)
        kind = KINDS[self.kind]
        return gettext("{reading} {length} mm {place}").format(
            reading=kind.words, length=number(self.at), place=kind.place_words
        )


def slots_of(
    size: Size,
    readings: Mapping[str, Any] | None = None,
    counts: Mapping[str, int] | None = None,
    wanted: Wanted | None = None,
) -> list[Slot]:
    """Every reading in the order of its number: those in `readings` (JSON of `opening-fit`), and
    the usual ones of each kind, or as many as `counts` says, that are still free; with one more
    where the one that is `wanted` has a place of its own."""
    readings, counts = readings or {}, counts or {}
    slots: list[Slot] = []
    for kind in SIZES:
        places = _places(kind, size, readings, counts.get(kind.name, 0), wanted)
        slots += _of_kind(kind, size, readings, list(places), len(slots) + 1)
    diagonals = readings.get("diagonals", {})
    for name, words in DIAGONALS.items():
        number, value = len(slots) + 1, diagonals.get(name)
        slots.append(Slot(number, f"diagonals.{name}", str(words), None, value))
    for kind in AFTER_DIAGONALS:
        places = _places(kind, size, readings, counts.get(kind.name, 0), wanted)
        slots += _of_kind(kind, size, readings, list(places), len(slots) + 1)
    return slots


def slot_wanted(slots: Sequence[Slot], wanted: Wanted) -> Slot | None:
    """Where the reading that is asked for goes: at its place, else the first that is free."""
    of_kind = [slot for slot in slots if wanted.kind in (slot.kind, slot.name)]
    free = [slot for slot in of_kind if slot.value is None] or of_kind
    at_place = [slot for slot in free if slot.at == wanted.at]
    return next(iter(at_place or free), None)


def _of_kind(
    kind: Kind,
    size: Size,
    readings: Mapping[str, Any],
    places: list[float | None],
    first_number: int,
) -> Iterator[Slot]:
    taken = kind.json.taken(readings)
    for index, at in enumerate(places):
        value = taken[index][1] if index < len(taken) else None
        words = str(kind.words)
        if at is not None:
            words = gettext("{reading} {place}").format(
                reading=kind.words, place=kind.where(at, size)
            )
        yield Slot(first_number + index, f"{kind.name}.{index}", words.strip(), at, value)


def _places(
    kind: Kind, size: Size, readings: Mapping[str, Any], count: int, wanted: Wanted | None
) -> Iterator[float | None]:
    """Where it was read, then the usual places that are still free, then one that is wanted."""
    used = [at for at, _value in kind.json.taken(readings)]
    yield from used
    usual = kind.default_places(size)
    free = [place for place in usual if place not in used]
    more = max(len(usual), count) - len(used)
    # More than the usual ones have no usual place; they start in the middle and are moved.
    middle = usual[len(usual) // 2]
    added = (free + [middle] * max(more, 0))[: max(more, 0)]
    yield from added
    if wanted and wanted.kind == kind.name and wanted.at not in (None, *used, *added):
        yield wanted.at


def likely_swap(value: float, likely: float, within: float) -> float | None:
    """The reading with two neighbouring digits swapped, where that is what the others say, mm."""
    digits = f"{abs(value):.0f}"
    for index in range(len(digits) - 1):
        first, second = digits[index], digits[index + 1]
        size = float(digits[:index] + second + first + digits[index + 2 :])
        swapped = copysign(size, value)
        if swapped != value and abs(swapped - likely) <= within:
            return swapped
    return None
