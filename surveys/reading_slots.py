"""The readings of an opening one by one: each with its number, its place and its name in words.

Form, drawing and list number a reading alike, so that "7" is the rising diagonal on all of
them, and "20" the right jamb at its head whether its middle was read or not. Lengths in mm, seen
from outside; names are those of the adjustment: `widths.0`, `diagonals.rising`, `plumb.left.2`.
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
    """Every reading, kind by kind and along its side: those in `readings` (JSON of `opening-fit`),
    and the usual ones of each kind, or as many as `counts` says, that are still free; with one more
    where the one that is `wanted` has a place of its own.

    A usual place has the same number whatever else was read; what is read besides is numbered after
    all of them.
    """
    readings, counts = readings or {}, counts or {}
    diagonals = readings.get("diagonals", {})
    numbers = _Numbers()
    slots: list[Slot] = []
    for kind in SIZES:
        slots += _of_kind(
            kind, size, readings, counts.get(kind.name, 0), wanted=wanted, numbers=numbers
        )
    for name, words in DIAGONALS.items():
        number = numbers.of_usual(f"diagonals.{name}", 0)
        slots.append(Slot(number, f"diagonals.{name}", str(words), None, diagonals.get(name)))
    for kind in AFTER_DIAGONALS:
        slots += _of_kind(
            kind, size, readings, counts.get(kind.name, 0), wanted=wanted, numbers=numbers
        )
    return slots


class _Numbers:
    """Hands out the numbers of readings."""

    def __init__(self) -> None:
        self.following = LAST_USUAL

    def of_usual(self, kind: str, rank: int) -> int:
        """Of the usual place so far along its side."""
        return FIRST_NUMBERS[kind] + rank

    def of_another(self) -> int:
        self.following += 1
        return self.following


def _first_numbers() -> tuple[dict[str, int], int]:
    """By kind, and the last one of all: a usual reading is counted whether it is taken or not."""
    first, following = {}, 1
    counted = [(kind.name, len(kind.default_places(SOME_SIZE))) for kind in SIZES]
    counted += [(f"diagonals.{name}", 1) for name in DIAGONALS]
    counted += [(kind.name, len(kind.default_places(SOME_SIZE))) for kind in AFTER_DIAGONALS]
    for name, count in counted:
        first[name] = following
        following += count
    return first, following - 1


SOME_SIZE = Size(3000, 2000)
FIRST_NUMBERS, LAST_USUAL = _first_numbers()


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
    count: int,
    *,
    wanted: Wanted | None,
    numbers: _Numbers,
) -> list[Slot]:
    taken = kind.json.taken(readings)
    usual = kind.default_places(size)
    places = list(_places(kind, usual, [at for at, _value in taken], count, wanted))
    ranks = _ranks(places, usual)
    order = sorted(range(len(places)), key=lambda index: (places[index] or 0.0, index))
    return [
        Slot(
            numbers.of_another()
            if (rank := ranks.get(index)) is None
            else numbers.of_usual(kind.name, rank),
            f"{kind.name}.{index}",
            _words(kind, places[index], size),
            places[index],
            taken[index][1] if index < len(taken) else None,
        )
        for index in order
    ]


def _words(kind: Kind, at: float | None, size: Size) -> str:
    if at is None:
        return str(kind.words)
    words = gettext("{reading} {place}").format(reading=kind.words, place=kind.where(at, size))
    return words.strip()


def _places(
    kind: Kind,
    usual: Sequence[float | None],
    used: list[float | None],
    count: int,
    wanted: Wanted | None,
) -> Iterator[float | None]:
    """Where it was read, then the usual places that are still free, then one that is wanted."""
    yield from used
    near = _ranks(used, usual).values()
    free = [place for rank, place in enumerate(usual) if rank not in near]
    # More than the usual ones have no usual place; they start in the middle and are moved.
    middle = usual[len(usual) // 2]
    added = free + [middle] * max(count - len(used) - len(free), 0)
    yield from added
    if wanted and wanted.kind == kind.name and wanted.at not in (None, *used, *added):
        yield wanted.at


def _ranks(places: Sequence[float | None], usual: Sequence[float | None]) -> dict[int, int]:
    """Which usual place each of these, by its index, stands for: the nearest one that is free."""
    pairs = sorted(
        (abs((at or 0.0) - (place or 0.0)), index, rank)
        for index, at in enumerate(places)
        for rank, place in enumerate(usual)
    )
    ranks: dict[int, int] = {}
    for _off, index, rank in pairs:
        if index not in ranks and rank not in ranks.values():
            ranks[index] = rank
    return ranks


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
