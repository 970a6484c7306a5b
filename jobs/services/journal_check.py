"""Checking the journal: every chain against itself, its head and the seals."""

import hashlib
import json
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC
from typing import Any

import rfc8785

from jobs.models import JournalEntry, JournalStream
from jobs.services.seals import SEALS, merkle_root


@dataclass(frozen=True, slots=True)
class Flaw:
    """The first entry of a chain that does not hold, and why."""

    stream: str
    number: int
    why: str


def find_flaws() -> Iterator[Flaw]:
    """Yield the first flaw of every chain that has one, in the order of their names."""
    sealed: dict[str, dict[int, str]] = {}
    for entry in JournalEntry.objects.filter(stream_id=SEALS).order_by("number").iterator():
        leaves = json.loads(entry.text)["body"]["leaves"]
        if merkle_root(rfc8785.dumps(leaf) for leaf in leaves) != entry.record_id:
            yield Flaw(SEALS, entry.number, "its root is not that of its leaves")
        for leaf in leaves:
            sealed.setdefault(leaf["stream"], {})[leaf["number"]] = leaf["digest"]
    streams = set(JournalStream.objects.values_list("name", flat=True)) | set(sealed)
    for name in sorted(streams):
        if flaw := _first_flaw(name, sealed.get(name, {})):
            yield flaw


def _first_flaw(stream: str, sealed: dict[int, str]) -> Flaw | None:
    previous, number = "", 0
    entries = JournalEntry.objects.filter(stream_id=stream).order_by("number")
    for entry in entries.iterator():
        number += 1
        why = _what_is_wrong(entry, number, previous)
        if not why and sealed.get(number, entry.digest) != entry.digest:
            why = "it differs from what was sealed"
        if why:
            return Flaw(stream, number, why)
        previous = entry.digest
    return _flaw_of_head(stream, number, previous, max(sealed, default=0))


def _flaw_of_head(stream: str, number: int, digest: str, sealed_number: int) -> Flaw | None:
    if number < sealed_number:
        return Flaw(stream, number + 1, "it was sealed and is missing")
    head = JournalStream.objects.filter(name=stream).first()
    if head is None or (head.length, head.head) != (number, digest):
        return Flaw(stream, number + 1, "the chain is shorter or other than its head says")
    return None


def _what_is_wrong(entry: JournalEntry, number: int, previous: str) -> str | None:
    if entry.number != number:
        return "it is missing"
    if hashlib.sha256(entry.text.encode()).hexdigest() != entry.digest:
        return "its text was changed"
    body = json.loads(entry.text)
    if body["previous"] != previous:
        return "it does not follow the entry before it"
    if _columns(entry) != {name: body[name] for name in _columns(entry)}:
        return "its columns differ from its text"
    return None


def _columns(entry: JournalEntry) -> dict[str, Any]:
    return {
        "actor": str(entry.actor_id) if entry.actor_id else None,
        "created_at": entry.created_at.astimezone(UTC).isoformat(),
        "number": entry.number,
        "record": {"kind": entry.record_kind, "id": entry.record_id},
        "stream": entry.stream_id,
        "type": entry.type,
    }
