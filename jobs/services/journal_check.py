"""Checking the journal: every chain against itself, its head and the seals, and every signature."""

import hashlib
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import UTC
from typing import Any

import msgspec
import rfc8785
from django.db.models import Q

from jobs.arithmetic.merkle import GrowingTree, leaf_hash
from jobs.checkpoints import PublicKey, UnreadableCheckpoint, read_checkpoint
from jobs.models import JournalEntry, JournalStream
from jobs.seal_log import SEALS, Seal, leaves_of_log
from jobs.services.seals import seal_root
from jobs.services.signature_check import KeysOnRecord


@dataclass(frozen=True, slots=True)
class Flaw:
    """The first entry of a chain that does not hold, and why."""

    stream: str
    number: int
    why: str


def find_flaws() -> Iterator[Flaw]:
    """Yield the first flaw of every chain that has one, in the order of their names."""
    sealed: dict[str, dict[int, str]] = {}
    log = GrowingTree()
    for entry in JournalEntry.objects.filter(stream_id=SEALS).order_by("number").iterator():
        seal = Seal.read(entry)
        log.add(leaf_hash(bytes.fromhex(seal.root)))
        if why := _what_is_wrong_with_seal(seal, log):
            yield Flaw(SEALS, entry.number, why)
        for leaf in seal.leaves:
            sealed.setdefault(leaf["stream"], {})[leaf["number"]] = leaf["digest"]
    streams = set(JournalStream.objects.values_list("name", flat=True)) | set(sealed)
    keys = KeysOnRecord.read()
    for name in sorted(streams):
        if flaw := flaw_of_chain(name, sealed.get(name), keys):
            yield flaw


def flaws_of(streams: Iterable[str]) -> Iterator[Flaw]:
    """The first flaw of each of these chains, and of the seals that name one of them.

    Each of those seals is held against its signed checkpoint, which every seal before it goes into;
    none but the check of everything looks at the seals of other chains.
    """
    names = sorted(set(streams))
    naming = Q()
    for name in names:
        naming |= Q(text__contains=_as_in_leaf(name))
    entries = JournalEntry.objects.filter(naming, stream_id=SEALS).order_by("number")
    seals = {entry.number: Seal.read(entry) for entry in entries.iterator()}
    sealed: dict[str, dict[int, str]] = {name: {} for name in names}
    log = GrowingTree()
    for leaf in leaves_of_log(until=max(seals, default=0)):
        log.add(leaf)
        if seal := seals.get(log.size):
            if why := _what_is_wrong_with_seal(seal, log):
                yield Flaw(SEALS, seal.number, why)
            for of_chain in seal.leaves:
                sealed.get(of_chain["stream"], {})[of_chain["number"]] = of_chain["digest"]
    for name in names:
        if flaw := flaw_of_chain(name, sealed[name]):
            yield flaw


def _as_in_leaf(stream: str) -> str:
    """A chain as the canonical JSON of a seal names it."""
    return rfc8785.dumps({"stream": stream}).decode()[1:-1]


def _what_is_wrong_with_seal(seal: Seal, log: GrowingTree) -> str | None:
    """Seals from before there were checkpoints have none."""
    if seal_root(seal.leaves).hex() != seal.root:
        return "its root is not that of its leaves"
    if not seal.checkpoint:
        return None
    try:
        checkpoint, key = read_checkpoint(seal.checkpoint), PublicKey.read(seal.key)
    except UnreadableCheckpoint as fault:
        return f"its checkpoint cannot be read: {fault}"
    if (checkpoint.size, checkpoint.root) != (log.size, log.root):
        return "its checkpoint is not that of the seals up to it"
    return None if checkpoint.is_signed_by(key) else "its checkpoint is not signed by its key"


def flaw_of_chain(
    stream: str, sealed: dict[int, str] | None = None, keys: KeysOnRecord | None = None
) -> Flaw | None:
    """The first flaw of a chain, also held against what was `sealed` of it, digests by number.

    Looked for twice where there is one: a chain may grow while it is read, or a device be enrolled.
    """
    sealed = sealed or {}
    if _first_flaw(stream, sealed, keys or KeysOnRecord.read()):
        return _first_flaw(stream, sealed, KeysOnRecord.read())
    return None


def _first_flaw(stream: str, sealed: dict[int, str], keys: KeysOnRecord) -> Flaw | None:
    previous, number = "", 0
    entries = JournalEntry.objects.filter(stream_id=stream).order_by("number")
    for entry in entries.iterator():
        number += 1
        why = _what_is_wrong(entry, number, previous, keys)
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


def _what_is_wrong(
    entry: JournalEntry, number: int, previous: str, keys: KeysOnRecord
) -> str | None:
    if entry.number != number:
        return "it is missing"
    if hashlib.sha256(entry.text.encode()).hexdigest() != entry.digest:
        return "its text was changed"
    body = msgspec.json.decode(entry.text)
    if body["previous"] != previous:
        return "it does not follow the entry before it"
    if _columns(entry) != {name: body[name] for name in _columns(entry)}:
        return "its columns differ from its text"
    return keys.what_is_wrong(entry, body)


def _columns(entry: JournalEntry) -> dict[str, Any]:
    return {
        "actor": str(entry.actor_id) if entry.actor_id else None,
        "created_at": entry.created_at.astimezone(UTC).isoformat(),
        "number": entry.number,
        "record": {"kind": entry.record_kind, "id": entry.record_id},
        "stream": entry.stream_id,
        "type": entry.type,
    }
