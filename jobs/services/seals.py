"""Sealing the journal: the heads of all chains tied together under one Merkle root.

A chain alone could be rewritten from some entry on; a seal that was made in between, and left the
firm since, would no longer agree with it. The roots of all seals are the leaves of one growing
Merkle tree, the log; each seal carries the log's checkpoint of that size, signed with a key that is
not in the database. Checkpoints go out on certificates, to witnesses and to a public page.
"""

from collections.abc import Iterable
from typing import Any

from django.db import models, transaction

from jobs.arithmetic.merkle import GrowingTree, leaf_hash, tree_root
from jobs.arithmetic.seal_leaf import chain_leaf, hash_of_leaf
from jobs.journal_types import JournalType
from jobs.models import JournalEntry, JournalStream
from jobs.seal_key import seal_key
from jobs.seal_log import SEALS, leaves_of_log
from jobs.services.journal import append


def seal_root(leaves: Iterable[dict[str, Any]]) -> bytes:
    """The root of one seal, over what it holds of each chain."""
    return tree_root(map(hash_of_leaf, leaves))


@transaction.atomic
def seal_streams(entry: JournalEntry | None = None) -> JournalEntry | None:
    """Seal the heads of all chains that grew since the last seal, and this entry of a chain where
    one is named; None when there is nothing to seal.

    The chain of seals holds each root and its leaves, and each seal follows the one before, so
    a chain that did not grow stays covered by the seal that covered it last. An entry that is
    named is a leaf by itself, whatever followed it in its chain: its proof then needs no other.
    """
    log = GrowingTree(leaves_of_log())
    grown = list(
        JournalStream.objects.select_for_update()
        .exclude(name=SEALS)
        .filter(length__gt=models.F("sealed_length"))
        .order_by("name")
    )
    leaves = [chain_leaf(s.name, s.length, s.head) for s in grown]
    if entry and (leaf := chain_leaf(entry.stream_id, entry.number, entry.digest)) not in leaves:
        leaves.append(leaf)
    if not leaves:
        return None
    root = seal_root(leaves)
    # Nobody else adds a seal before this one is stored.
    JournalStream.objects.get_or_create(name=SEALS)
    JournalStream.objects.select_for_update().get(name=SEALS)
    for leaf_of_log in (*leaves_of_log(after=log.size), leaf_hash(root)):
        log.add(leaf_of_log)
    key = seal_key()
    seal = append(
        stream=SEALS,
        actor=None,
        entry_type=JournalType.JOURNAL_SEALED,
        record=("seal", root.hex()),
        body={
            "leaves": leaves,
            "checkpoint": key.sign(log.size, log.root),
            "key": str(key.public),
        },
    )
    for stream in grown:
        JournalStream.objects.filter(pk=stream.pk).update(sealed_length=stream.length)
    return seal
