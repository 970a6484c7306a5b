"""Fields for the readings of an opening, one pair for every numbered line of the drawing."""

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
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
from surveys.reading_slots import Slot, Wanted, slot_wanted, slots_of
from surveys.views.condition_fields import length, plainly


@dataclass(frozen=True, slots=True)
class Row:
    """A slot with its fields; a diagonal has no place to type. `before`: what an earlier survey
    read there, mm. `side_path`: where its side stands in the JSON, for a list of all sides."""

    slot: Slot
    value: forms.BoundField
    place: forms.BoundField | None
    before: float | None = None
    side: str = ""
    side_path: str = ""


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
        self,
        size: Size,
        readings: Mapping[str, Any] | None,
        wanted: Wanted | None = None,
        before: Mapping[str, Any] | None = None,
    ) -> None:
        """`readings` are filled in, what was read `before` only stands beside the fields."""
        counts = {kind.name: _sent(kind, self.data) for kind in KINDS.values()}
        self.size, self.wanted = size, wanted
        self.slots = slots_of(size, readings, counts, wanted)
        earlier = slots_of(size, before) if before else []
        self.before = {slot.number: slot.value for slot in earlier}
        paths = paths_of(self.slots)
        # Where each reading that was typed stands in the JSON, by pointer.
        self.typed_at: dict[str, str] = {}
        for slot in self.slots:
            name = slot.field
            value = length(slot.words, required=slot.kind == "diagonals")
            value.initial = plainly(slot.value)
            value.widget.attrs |= {"data-path": paths[slot.name].value, "data-as": "number"}
            self.fields[name] = value
            if slot.at is not None:
                place = length(
                    _("Place of {number}, {measured}").format(
                        number=slot.number, measured=KINDS[slot.kind].place_words
                    )
                )
                place.initial = plainly(slot.at)
                # A place that nothing was read at says nothing.
                place.widget.attrs |= {
                    "data-path": paths[slot.name].at,
                    "data-as": "number",
                    "data-beside": True,
                }
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
    def asked(self) -> list[Slot]:
        """Those that an earlier survey asked for: what one tool reads in one go."""
        if self.wanted is None:
            return []
        kind = self.wanted.kind
        if KINDS.get(kind) in SPLAYS:
            lacking = [s for s in self.slots if KINDS.get(s.kind) in SPLAYS and s.value is None]
            return lacking or [slot for slot in self.slots if slot.kind == kind]
        if kind in ("widths", "heights"):
            slot = slot_wanted(self.slots, self.wanted)
            return [slot] if slot else []
        group = kind.partition(".")[0] if kind.startswith(("diagonals", "checks")) else kind
        return [slot for slot in self.slots if slot.kind == kind or slot.kind.startswith(group)]

    @property
    def asked_with(self) -> str:
        """Which instrument field stands beside what is asked: `level`, `gap` or `check`."""
        kind = KINDS.get(self.wanted.kind) if self.wanted else None
        tools = {"level": OFFSETS, "gap": (*STRAIGHTEDGES, *SPLAYS), "check": CHECKS}
        return next((name for name, kinds in tools.items() if kind in kinds), "")

    @property
    def asked_groups(self) -> list[Group]:
        """Kind by kind, each under its own title."""
        groups: dict[str, list[Slot]] = {}
        for slot in self.asked:
            groups.setdefault(slot.kind, []).append(slot)
        return [self._group(kind, slots) for kind, slots in groups.items()]

    @property
    def size_groups(self) -> list[Group]:
        diagonals = [slot for slot in self._rest if slot.kind == "diagonals"]
        return [*self._groups(SIZES), *([self._group("diagonals", diagonals)] if diagonals else [])]

    @property
    def _rest(self) -> list[Slot]:
        asked = {slot.name for slot in self.asked}
        return [slot for slot in self.slots if slot.name not in asked]

    @property
    def offset_groups(self) -> list[Group]:
        return self._groups(OFFSETS)

    @property
    def straightedge_groups(self) -> list[Group]:
        """All four sides under one heading: each has one reading, of the whole side."""
        rows = [row for group in self._groups(STRAIGHTEDGES) for row in group.rows]
        return [Group(_("How far the wall stands in, straightedge"), "", rows)] if rows else []

    @property
    def splay_groups(self) -> list[Group]:
        return self._groups(SPLAYS)

    @property
    def check_groups(self) -> list[Group]:
        return self._groups(CHECKS)

    @property
    def more_in_use(self) -> bool:
        """Whether more than sizes was read or typed, or is wrong."""
        return self.is_in_use((*OFFSETS, *STRAIGHTEDGES, *SPLAYS, *CHECKS))

    def is_in_use(self, kinds: tuple[Kind, ...]) -> bool:
        """Whether something of these kinds is wanted, was read, or typed, or is wrong."""
        if self.wanted and KINDS.get(self.wanted.kind) in kinds:
            return True
        fields = [slot.field for slot in self.slots if KINDS.get(slot.kind) in kinds]
        return any(self[name].errors or self[name].value() not in (None, "") for name in fields)

    def _groups(self, kinds: tuple[Kind, ...]) -> list[Group]:
        """Of what is not asked for by itself; a kind of which nothing is left has none."""
        of_kinds = [[slot for slot in self._rest if slot.kind == kind.name] for kind in kinds]
        return [
            self._group(kind.name, slots)
            for kind, slots in zip(kinds, of_kinds, strict=True)
            if slots
        ]

    def _group(self, name: str, slots: list[Slot]) -> Group:
        kind = KINDS.get(name)
        title = str(kind.title) if kind else _("Diagonals")
        place_words = str(kind.place_words) if kind else ""
        rows = [self._row(slot) for slot in slots]
        return Group(title, place_words, rows, name == KNOWN_LENGTHS)

    def _row(self, slot: Slot) -> Row:
        place = self[f"{slot.field}_at"] if slot.at is not None else None
        kind = KINDS.get(slot.kind)
        side = kind.json.side if kind else ""
        path = paths_of(self.slots)[slot.name].side if side else ""
        before = self.before.get(slot.number)
        return Row(slot, self[slot.field], place, before, side, path)

    def drawn_slots(self) -> list[Slot]:
        """The slots where they were moved to; what is no place stays where it was."""
        return [replace(slot, at=self._place_in_hand(slot)) for slot in self.slots]

    def _place_in_hand(self, slot: Slot) -> float | None:
        if slot.at is None or not self.is_bound:
            return slot.at
        limit = self.size.height if KINDS[slot.kind].up else self.size.width
        typed = self.cleaned_data.get(f"{slot.field}_at")
        return typed if typed is not None and 0 <= typed <= limit else slot.at


@dataclass(frozen=True, slots=True)
class Paths:
    """Where a reading stands in the JSON of a survey, with dots."""

    value: str
    at: str
    side: str


def paths_of(slots: Sequence[Slot]) -> dict[str, Paths]:
    """By the name of the slot. Sides that share a list are numbered through."""
    paths, taken = {}, Counter[str]()
    for slot in slots:
        kind = KINDS.get(slot.kind)
        if kind is None:
            paths[slot.name] = Paths(f"readings.{slot.name}", "", "")
            continue
        listed = ".".join(("readings", *kind.json.path))
        entry = f"{listed}.{taken[listed]}"
        taken[listed] += 1
        paths[slot.name] = Paths(
            f"{entry}.{kind.json.value}", f"{entry}.{kind.json.at}", f"{entry}.side"
        )
    return paths


def field_name(reading: str) -> str:
    """`plumb.left.0` as `plumb_left_0`."""
    return reading.replace(".", "_")


def _sent(kind: Kind, data: Mapping[str, Any]) -> int:
    """How many fields of a kind a sent form has; a form that was not sent has none yet."""
    prefix = field_name(kind.name)
    numbers = (n for n in range(MOST_READINGS) if f"{prefix}_{n}" in data)
    return max((n + 1 for n in numbers), default=0)
