"""The log of seals: the Merkle tree whose leaves are the roots of all seals, in their order.

Seal number n is leaf n - 1, and its checkpoint is of size n. What is proven of the log is worked
out from the chain of seals whenever it is asked for; nothing of it is stored twice.
"""

import json
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from jobs.arithmetic.merkle import Hash, consistency_path, inclusion_path, leaf_hash
from jobs.models import JournalEntry

SEALS = "seals"


@dataclass(frozen=True, slots=True)
class Seal:
    """`leaves` are what it holds of each chain; `checkpoint` (a signed note) and `key` (a verifier
    key) are empty in seals from before there were any."""

    number: int
    made_at: datetime
    root: str
    leaves: list[dict[str, Any]]
    checkpoint: str
    key: str

    @classmethod
    def read(cls, entry: JournalEntry) -> "Seal":
        body = json.loads(entry.text)["body"]
        return cls(
            entry.number,
            entry.created_at,
            entry.record_id,
            body["leaves"],
            body.get("checkpoint", ""),
            body.get("key", ""),
        )


def leaves_of_log(*, after: int = 0, until: int | None = None) -> list[Hash]:
    """Hashes of the leaves, those of the first `after` seals left out, up to seal `until`."""
    roots = _seals().filter(number__gt=after).order_by("number")
    if until is not None:
        roots = roots.filter(number__lte=until)
    return [leaf_hash(bytes.fromhex(root)) for root in roots.values_list("record_id", flat=True)]


def seal(number: int) -> Seal | None:
    entry = _seals().filter(number=number).first()
    return Seal.read(entry) if entry else None


def latest_seal() -> Seal | None:
    entry = _seals().order_by("-number").first()
    return Seal.read(entry) if entry else None


def seals_since(moment: datetime) -> Iterator[Seal]:
    """Those made at this moment and after it, the oldest first."""
    return map(Seal.read, _seals().filter(created_at__gte=moment).order_by("number"))


def path_to_checkpoint(number: int, size: int) -> list[Hash]:
    """The proof that seal `number` is in the log of `size` seals. Raises `IndexError`."""
    return inclusion_path(number - 1, _log_of(size))


def path_between(first: int, second: int) -> list[Hash]:
    """The proof that the log of `second` seals begins with that of `first`. Raises `IndexError`."""
    return consistency_path(first, _log_of(second))


def _log_of(size: int) -> list[Hash]:
    leaves = leaves_of_log(until=size)
    if len(leaves) != size:
        raise IndexError(size)
    return leaves


def _seals() -> Any:
    return JournalEntry.objects.filter(stream_id=SEALS)
