"""Sealing the journal: the heads of all chains tied together under one Merkle root.

A chain alone could be rewritten from some entry on; a seal that was made in between, and printed
on a certificate since, would no longer agree with it.
"""

import hashlib
from collections.abc import Iterable
from typing import Any

import rfc8785
from django.db import models, transaction

from jobs.journal_types import JournalType
from jobs.models import JournalEntry, JournalStream
from jobs.services.journal import append

SEALS = "seals"


def merkle_root(leaves: Iterable[bytes]) -> str:
    """Merkle tree hash of RFC 9162 section 2.1.1, as hexadecimal."""
    return _tree([hashlib.sha256(b"\x00" + leaf).digest() for leaf in leaves]).hex()


def _tree(hashes: list[bytes]) -> bytes:
    if not hashes:
        return hashlib.sha256(b"").digest()
    if len(hashes) == 1:
        return hashes[0]
    split = 1 << ((len(hashes) - 1).bit_length() - 1)
    return hashlib.sha256(b"\x01" + _tree(hashes[:split]) + _tree(hashes[split:])).digest()


@transaction.atomic
def seal_streams() -> JournalEntry | None:
    """Seal the heads of all chains that grew since the last seal; None when none did.

    The chain of seals holds each root and its leaves, and each seal follows the one before, so
    a chain that did not grow stays covered by the seal that covered it last.
    """
    grown = list(
        JournalStream.objects.select_for_update()
        .exclude(name=SEALS)
        .filter(length__gt=models.F("sealed_length"))
        .order_by("name")
    )
    if not grown:
        return None
    leaves: list[dict[str, Any]] = [
        {"stream": s.name, "number": s.length, "digest": s.head} for s in grown
    ]
    root = merkle_root(rfc8785.dumps(leaf) for leaf in leaves)
    entry = append(
        stream=SEALS,
        actor=None,
        entry_type=JournalType.JOURNAL_SEALED,
        record=("seal", root),
        body={"leaves": leaves},
    )
    for stream in grown:
        JournalStream.objects.filter(pk=stream.pk).update(sealed_length=stream.length)
    return entry


def latest_seal_root() -> str:
    """The root of the newest seal, as hexadecimal; empty while nothing has been sealed."""
    entry = JournalEntry.objects.filter(stream_id=SEALS).order_by("-number").first()
    return entry.record_id if entry else ""
