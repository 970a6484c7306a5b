"""Fields for the readings of an opening, one pair for every numbered line of the drawing."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any

from django import forms
from django.utils.translation import gettext as _

from surveys.api.opening_serializers import MOST_READINGS
from surveys.arithmetic.readings import FEWEST
from surveys.reading_kinds import (
    CHECKS,
    DIAGONALS,
    KINDS,
    KNOWN_LENGTHS,
    OFFSETS,
    SIZES,
    SPLAYS,
    STRAIGHTEDGES,
    Kind,
    Size,
)
from surveys.reading_slots import Slot, Wanted, slots_of
from surveys.views.condition_fields import length, plainly


@dataclass(frozen=True, slots=True)
class Row:
    """A slot with its fields; a diagonal has no place to type."""

    slot: Slot
    value: forms.BoundField
    place: forms.BoundField | None


@dataclass(frozen=True, slots=True)
class Group:
    """Rows of one kind under one heading; a rule of known length has a length and no place."""

    title: str
    place_words: str
    rows: list[Row]
    of_known_length: bool = False


class ReadingFields(forms.Form):
    """Adds `widths_0` and `widths_0_at`, `diagonals_rising` ... for every slot."""

    def add_slots(
        self, size: Size, readings: Mapping[str, Any] | None, wanted: Wanted | None = None
    ) -> None:
        counts = {kind.name: _sent(kind, self.data) for kind in KINDS.values()}
        self.size, self.wanted = size, wanted
        self.slots = slots_of(size, readings, counts, wanted)
        # Where each reading that was typed stands in the JSON, by pointer.
        self.typed_at: dict[str, str] = {}
        for slot in self.slots:
            name = slot.field
            value = length(slot.words, required=slot.kind == "diagonals")
            value.initial = plainly(slot.value)
            self.fields[name] = value
            if slot.at is not None:
                place = length(
                    _("Place of {number}, {measured}").format(
                        number=slot.number, measured=KINDS[slot.kind].place_words
                    )
                )
                place.initial = plainly(slot.at)
                self.fields[f"{name}_at"] = place

    def readings(self) -> dict[str, Any]:
        """What was typed, as the endpoint takes it; a reading that was not taken is left out."""
        readings: dict[str, Any] = {"diagonals": {}, "plumb": {}, "checks": {}}
        for kind in KINDS.values():
            *outer, last = kind.json.path
            holder = readings[outer[0]] if outer else readings
            entries = holder.setdefault(last, [])
            for slot, at, value in self._typed(kind):
                self._remember(kind, len(entries), slot)
                entries.append(kind.json.entry(at, value))
        for name in DIAGONALS:
            if (diagonal := self.cleaned_data.get(f"diagonals_{name}")) is not None:
                readings["diagonals"][name] = diagonal
        return readings

    def _typed(self, kind: Kind) -> Iterator[tuple[Slot, float | None, float]]:
        for slot in self._of(kind):
            value, at = self.cleaned_data.get(slot.field), self.cleaned_data.get(f"{slot.field}_at")
            if value is not None and (at is not None or slot.at is None):
                yield slot, at, value

    def _remember(self, kind: Kind, index: int, slot: Slot) -> None:
        pointer = "/" + "/".join(("readings", *kind.json.path, str(index)))
        self.typed_at |= {
            f"{pointer}/{kind.json.value}": slot.field,
            f"{pointer}/{kind.json.at}": f"{slot.field}_at",
        }

    def check_completeness(self) -> None:
        """Enough sizes, and every reading with its place."""
        for slot in self.slots:
            name = slot.field
            place = f"{name}_at"
            unplaced = place in self.fields and self.cleaned_data.get(place) is None
            if unplaced and place not in self.errors and self.cleaned_data.get(name) is not None:
                self.add_error(place, _("give the place where it was read"))
        for kind in SIZES:
            self._check_enough(kind)

    def _check_enough(self, kind: Kind) -> None:
        names = [slot.field for slot in self._of(kind)]
        empty = [n for n in names if self.cleaned_data.get(n) is None and n not in self.errors]
        if len(names) - len(empty) < FEWEST:
            self.add_error(
                empty[0],
                _("{readings}: read at least {fewest}").format(readings=kind.title, fewest=FEWEST),
            )

    def _of(self, kind: Kind) -> list[Slot]:
        return [slot for slot in self.slots if slot.kind == kind.name]

    @property
    def size_groups(self) -> list[Group]:
        diagonals = [self._row(slot) for slot in self.slots if slot.kind == "diagonals"]
        return [*self._groups(SIZES), Group(_("Diagonals"), "", diagonals)]

    @property
    def offset_groups(self) -> list[Group]:
        return self._groups(OFFSETS)

    @property
    def straightedge_groups(self) -> list[Group]:
        """All four sides under one heading: each has one reading, of the whole side."""
        rows = [row for group in self._groups(STRAIGHTEDGES) for row in group.rows]
        return [Group(_("How far the wall stands in, straightedge"), "", rows)]

    @property
    def splay_groups(self) -> list[Group]:
        return self._groups(SPLAYS)

    @property
    def check_groups(self) -> list[Group]:
        return self._groups(CHECKS)

    def is_in_use(self, kinds: tuple[Kind, ...]) -> bool:
        """Whether something of these kinds is wanted, was read, or typed, or is wrong."""
        if self.wanted and KINDS.get(self.wanted.kind) in kinds:
            return True
        fields = [slot.field for slot in self.slots if KINDS.get(slot.kind) in kinds]
        return any(self[name].errors or self[name].value() not in (None, "") for name in fields)

    def _groups(self, kinds: tuple[Kind, ...]) -> list[Group]:
        return [
            Group(
                str(kind.title),
                str(kind.place_words),
                [self._row(slot) for slot in self._of(kind)],
                kind.name == KNOWN_LENGTHS,
            )
            for kind in kinds
        ]

    def _row(self, slot: Slot) -> Row:
        place = self[f"{slot.field}_at"] if slot.at is not None else None
        return Row(slot, self[slot.field], place)

    def drawn_slots(self) -> list[Slot]:
        """The slots where they were moved to; what is no place stays where it was."""
        return [replace(slot, at=self._place_in_hand(slot)) for slot in self.slots]

    def _place_in_hand(self, slot: Slot) -> float | None:
        if slot.at is None or not self.is_bound:
            return slot.at
        limit = self.size.height if KINDS[slot.kind].up else self.size.width
        typed = self.cleaned_data.get(f"{slot.field}_at")
        return typed if typed is not None and 0 <= typed <= limit else slot.at


def field_name(reading: str) -> str:
    """`plumb.left.0` as `plumb_left_0`."""
    return reading.replace(".", "_")


def _sent(kind: Kind, data: Mapping[str, Any]) -> int:
    """How many fields of a kind a sent form has; a form that was not sent has none yet."""
    prefix = field_name(kind.name)
    numbers = (n for n in range(MOST_READINGS) if f"{prefix}_{n}" in data)
    return max((n + 1 for n in numbers), default=0)
