"""The readings of an opening one by one: each with its number, its place and its name in words.

Form, drawing and list number a reading alike, so that "7" is the rising diagonal on all of
them. Lengths in mm, seen from outside; names are those of the adjustment: `widths.0`,
`diagonals.rising`, `plumb.left.2`.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from jobs.figures import number
from jobs.translation import Text

# A size is read this far from a corner, where plaster and bricks are still sound.
FROM_CORNER = 100.0
STEP = 10.0
UP, ALONG = _("above the sill"), _("from the left jamb")


@dataclass(frozen=True, slots=True)
class Size:
    """About how large the opening is; mm."""

    width: float
    height: float


@dataclass(frozen=True, slots=True)
class Kind:
    """Readings of one sort. `up`: their places are heights above the sill, else distances from the
    left jamb. `from_corner`: how far from the corners the outer ones are read, mm."""

    name: str
    title: Text
    words: Text
    up: bool
    from_corner: float
    near: tuple[Text, Text, Text]

    @property
    def place_words(self) -> Text:
        return UP if self.up else ALONG

    @property
    def path(self) -> tuple[str, ...]:
        return tuple(self.name.split("."))

    def default_places(self, size: Size) -> tuple[float, float, float]:
        length = size.height if self.up else size.width
        return self.from_corner, _rounded(length / 2), _rounded(length - self.from_corner)

    def where(self, at: float, size: Size) -> Text:
        """In words, which third of the opening a place lies in."""
        share = at / (size.height if self.up else size.width)
        return self.near[min(max(int(share * 3), 0), 2)]


ACROSS = (_("near the left jamb"), _("in the middle"), _("near the right jamb"))
UPWARD = (_("near the sill"), _("in the middle"), _("near the head"))
CORNERS = (_("at the left jamb"), _("in the middle"), _("at the right jamb"))
FOOT_TO_HEAD = (_("at the foot"), _("in the middle"), _("at the head"))
# In the order in which readings are stored and numbered; the diagonals come after the sizes.
SIZES = (
    Kind("widths", _("Widths"), _("Width"), True, FROM_CORNER, UPWARD),
    Kind("heights", _("Heights"), _("Height"), False, FROM_CORNER, ACROSS),
)
OFFSETS = (
    Kind("sill_levels", _("Sill levels"), _("Sill level"), False, 0.0, CORNERS),
    Kind("head_levels", _("Head levels"), _("Head level"), False, 0.0, CORNERS),
    Kind("plumb.left", _("Plumb, left jamb"), _("Left jamb"), True, 0.0, FOOT_TO_HEAD),
    Kind("plumb.right", _("Plumb, right jamb"), _("Right jamb"), True, 0.0, FOOT_TO_HEAD),
)
KINDS = {kind.name: kind for kind in (*SIZES, *OFFSETS)}
DIAGONALS = {
    "rising": _("Rising diagonal, bottom left to top right"),
    "falling": _("Falling diagonal, top left to bottom right"),
}


@dataclass(frozen=True, slots=True)
class Slot:
    """One reading, taken or still to be taken; a diagonal has no place."""

    number: int
    name: str
    words: str
    at: float | None
    value: float | None = None

    @property
    def kind(self) -> str:
        return self.name.rpartition(".")[0]

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
    size: Size, readings: Mapping[str, Any] | None = None, counts: Mapping[str, int] | None = None
) -> list[Slot]:
    """Every reading in the order of its number: those in `readings` (JSON of `opening-fit`), and
    up to three of each kind, or as many as `counts` says, that are still free."""
    readings, counts = readings or {}, counts or {}
    slots: list[Slot] = []
    for kind in SIZES:
        slots += _of_kind(kind, size, readings, counts, len(slots) + 1)
    diagonals = readings.get("diagonals", {})
    for name, words in DIAGONALS.items():
        number, value = len(slots) + 1, diagonals.get(name)
        slots.append(Slot(number, f"diagonals.{name}", str(words), None, value))
    for kind in OFFSETS:
        slots += _of_kind(kind, size, readings, counts, len(slots) + 1)
    return slots


def _of_kind(
    kind: Kind,
    size: Size,
    readings: Mapping[str, Any],
    counts: Mapping[str, int],
    first_number: int,
) -> Iterator[Slot]:
    taken = _given(kind, readings)
    places = list(_places(kind, size, taken, counts.get(kind.name, 0)))
    for index, at in enumerate(places):
        value = taken[index]["value"] if index < len(taken) else None
        words = gettext("{reading} {place}").format(reading=kind.words, place=kind.where(at, size))
        yield Slot(first_number + index, f"{kind.name}.{index}", words, at, value)


def _given(kind: Kind, readings: Mapping[str, Any]) -> Sequence[Mapping[str, float]]:
    given: Any = readings
    for name in kind.path:
        given = given.get(name, {})
    return given or ()


def _places(
    kind: Kind, size: Size, taken: Sequence[Mapping[str, float]], count: int
) -> Iterator[float]:
    """Where it was read, then the usual places that are still free."""
    used = [reading["at"] for reading in taken]
    yield from used
    usual = kind.default_places(size)
    free = [place for place in usual if place not in used]
    wanted = max(len(usual), count) - len(used)
    # More than the usual three have no usual place; they start in the middle and are moved.
    yield from (free + [usual[1]] * max(wanted, 0))[: max(wanted, 0)]


def _rounded(length: float) -> float:
    return round(length / STEP) * STEP


def likely_swap(value: float, likely: float, within: float) -> float | None:
    """The reading with two neighbouring digits swapped, where that is what the others say, mm."""
    digits = f"{value:.0f}"
    for index in range(len(digits) - 1):
        first, second = digits[index], digits[index + 1]
        swapped = float(digits[:index] + second + first + digits[index + 2 :])
        if swapped != value and abs(swapped - likely) <= within:
            return swapped
    return None
