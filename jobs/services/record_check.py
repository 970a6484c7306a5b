"""Holding records against the journal: every row, its parts and its files, both ways.

A record agrees when its last entry says what its row, its parts and its files say now, and when
each entry before differs from the next in no more than what the service of that says it changed.
Whatever was changed past the services is named by its place.

Others go on writing meanwhile, so what contradicts is looked at once more before it is named.
"""

from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass
from itertools import groupby, islice, pairwise
from typing import TypeVar

import msgspec
from django.core.exceptions import ValidationError
from django.db import models

from jobs.errors import ContradictsJournal
from jobs.models import JournalEntry, Journalled
from jobs.services.differences import differences
from jobs.services.states import SEAL_KEY, State, journalled_models, sealed_columns, states

T = TypeVar("T")
# Kinds that entries of the journal about itself have.
OF_THE_JOURNAL = frozenset({"seal", "verification"})
# What every change of a record changes.
OF_EVERY_CHANGE = frozenset({"version", "updated_at"})
AT_ONCE = 200


@dataclass(frozen=True, slots=True)
class Contradiction:
    """A record of `kind` (its model) that is not what the journal says; `place` is the column, the
    part or the file, empty where it is the record itself."""

    kind: str
    id: str
    place: str
    why: str

    def __str__(self) -> str:
        return f"{self.kind} {self.id}{', ' if self.place else ''}{self.place}: {self.why}"


@dataclass(frozen=True, slots=True)
class Written:
    """The state of a record in one entry; `changed` is None where it was new."""

    stream: str
    number: int
    state: State
    changed: list[str] | None


def contradicting_records() -> Iterator[Contradiction]:
    """Of all records and all entries."""
    for model in journalled_models():
        yield from contradicting_rows(model)
    yield from _entries_without_rows()


def contradicting_rows(model: type[Journalled]) -> Iterator[Contradiction]:
    """Of all rows of a model."""
    for keys in _all_keys(model):
        yield from contradictions(model, keys)


def contradictions(
    model: type[Journalled], keys: Collection[str], *, files: bool = True
) -> list[Contradiction]:
    """Of the records of these keys; their files are read where `files` says so."""
    doubtful = {contradiction.id for contradiction in _compared(model, keys, files=files)}
    return list(_compared(model, doubtful, files=files)) if doubtful else []


def require_agreement(model: type[Journalled], keys: Collection[str]) -> None:
    """Raises `ContradictsJournal` for records of these keys that are not what the journal says."""
    if contradicting := contradictions(model, keys):
        places = [f"{c.kind} {c.id} {c.place}".strip() for c in contradicting]
        raise ContradictsJournal(places)


def _compared(
    model: type[Journalled], keys: Collection[str], *, files: bool
) -> Iterator[Contradiction]:
    rows = states(model._base_manager.filter(pk__in=keys), files=files)
    entries = entries_of(model, keys)
    for key in keys:
        yield from compared(model, key, entries.get(key, []), rows.get(key), files=files)


def entries_of(model: type[Journalled], keys: Collection[str]) -> dict[str, list[Written]]:
    """What the journal says of these records, by key, oldest first."""
    entries = JournalEntry.objects.filter(
        record_kind=model._meta.label_lower, record_id__in=keys
    ).order_by("stream", "number")
    by_key: dict[str, list[Written]] = {}
    for key, text in entries.values_list("record_id", "text"):
        if written := read_entry(text):
            by_key.setdefault(key, []).append(written)
    return by_key


def read_entry(text: str) -> Written | None:
    """The state that an entry holds; None for one that says something else of a record."""
    entry = msgspec.json.decode(text)
    if "changed" not in entry:
        return None
    return Written(entry["stream"], entry["number"], entry["body"], entry["changed"])


def compared(
    model: type[Journalled], key: str, entries: list[Written], row: State | None, *, files: bool
) -> Iterator[Contradiction]:
    """A record as it is now with what was written of it."""
    for place, why in _of_record(model, entries, row, files=files):
        yield Contradiction(model._meta.label_lower, key, place, why)


def _of_record(
    model: type[Journalled], entries: list[Written], row: State | None, *, files: bool
) -> Iterator[tuple[str, str]]:
    if not entries:
        yield "", "no entry of the journal says what it is"
        return
    yield from _of_entries(model, entries)
    if row is None:
        yield "", f"{_named(entries[-1])} tells of it, and there is no such row"
        return
    last = entries[-1].state if files else _without_digests(model, entries[-1].state)
    for place, written, present in differences(last, row, sealed=sealed_columns(model)):
        yield place, f"{_named(entries[-1])} says {written}, and there is {present}"


def _of_entries(model: type[Journalled], entries: list[Written]) -> Iterator[tuple[str, str]]:
    """What was changed past the services is in the next entry too, but not as changed by it."""
    sealed = sealed_columns(model)
    if entries[0].changed is not None:
        yield "", f"{_named(entries[0])} changes it, and none before says what it was"
    for before, entry in pairwise(entries):
        if entry.changed is None:
            yield "", f"{_named(entry)} says that it is new"
            continue
        changed = OF_EVERY_CHANGE.union(entry.changed, sealed if SEAL_KEY in entry.changed else ())
        for place, written, present in differences(before.state, entry.state, sealed=sealed):
            if place.split(".")[0] not in changed:
                yield (
                    place,
                    f"{_named(before)} says {written}, and {_named(entry)}, which did not change "
                    f"it, says {present}",
                )


def _named(entry: Written) -> str:
    return f"entry {entry.number} of {entry.stream}"


def _without_digests(model: type[Journalled], state: State) -> State:
    files = [f.name for f in model._meta.concrete_fields if isinstance(f, models.FileField)]
    return state | {name: {"name": state[name]["name"]} for name in files if state.get(name)}


def _entries_without_rows() -> Iterator[Contradiction]:
    """Entries whose record is gone, or of no kind that there is."""
    by_label = {model._meta.label_lower: model for model in journalled_models()}
    records = JournalEntry.objects.order_by("record_kind", "record_id").distinct()
    pairs = records.values_list("record_kind", "record_id").iterator(chunk_size=2000)
    for kind, of_kind in groupby(pairs, key=lambda pair: pair[0]):
        for keys in in_batches((key for _, key in of_kind), AT_ONCE):
            if kind in by_label:
                yield from contradictions(by_label[kind], _without_row(by_label[kind], keys))
            elif kind not in OF_THE_JOURNAL:
                yield from (Contradiction(kind, key, "", "there is no such kind") for key in keys)


def _without_row(model: type[Journalled], keys: list[str]) -> list[str]:
    usable = [key for key in keys if _is_key(model, key)]
    rows = model._base_manager.filter(pk__in=usable).values_list("pk", flat=True)
    return sorted(set(usable) - {str(key) for key in rows})


def _is_key(model: type[Journalled], text: str) -> bool:
    """An entry that names what is no key is named where its chain is checked."""
    try:
        model._meta.pk.to_python(text)
    except ValidationError:
        return False
    return True


def _all_keys(model: type[Journalled]) -> Iterator[list[str]]:
    rows = model._base_manager.order_by("pk").values_list("pk", flat=True)
    keys = list(rows[:AT_ONCE])
    while keys:
        yield [str(key) for key in keys]
        keys = list(rows.filter(pk__gt=keys[-1])[:AT_ONCE])


def in_batches(items: Iterable[T], size: int) -> Iterator[list[T]]:
    remaining = iter(items)
    while batch := list(islice(remaining, size)):
        yield batch
