"""Holding a seal or a checkpoint that left the firm against its journal of today."""

import re
from dataclasses import dataclass

from jobs.arithmetic.merkle import tree_root
from jobs.checkpoints import Checkpoint, PublicKey, read_checkpoint
from jobs.models import JournalEntry
from jobs.seal_key import seal_key
from jobs.seal_log import SEALS, Seal, latest_seal, leaves_of_log, seal
from jobs.sentences import Sentence, sentence
from reports.verification.findings import Standing
from reports.verification.witnesses import Witness

ROOT_OF_SEAL = re.compile(r"[0-9a-f]{64}")


@dataclass(frozen=True, slots=True)
class Comparison:
    """`BROKEN` where what was shown proves that the journal was tampered with."""

    standing: Standing
    says: Sentence


def compare(text: str) -> Comparison:
    """A seal as papers print it, or a checkpoint. Raises `UnreadableCheckpoint`."""
    root = "".join(text.split()).lower()
    if ROOT_OF_SEAL.fullmatch(root):
        return _of_seal(root)
    return _of_checkpoint(read_checkpoint(Witness.read(text.encode()).checkpoint))


def _of_seal(root: str) -> Comparison:
    entry = JournalEntry.objects.filter(stream_id=SEALS, record_id=root).first()
    if entry is None:
        return Comparison(
            Standing.UNKNOWN,
            sentence(
                "no seal of this journal is that one. Compare it digit by digit; where it is "
                "printed so, the paper is forged or the journal was tampered with"
            ),
        )
    found = Seal.read(entry)
    return Comparison(
        Standing.HOLDS,
        sentence(
            "it is seal {number} of this journal, made on {day}",
            number=found.number,
            day=f"{found.made_at:%Y-%m-%d}",
        ),
    )


def _of_checkpoint(theirs: Checkpoint) -> Comparison:
    latest, sealed = latest_seal(), seal(theirs.size)
    if not any(theirs.is_signed_by(key) for key in _own_keys(latest, sealed)):
        return Comparison(
            Standing.UNKNOWN,
            sentence("it is not signed with a key of this journal, so it says nothing about it"),
        )
    if sealed is None:
        return Comparison(
            Standing.BROKEN,
            sentence(
                "it is signed with the key of this journal as checkpoint {theirs}, and the journal "
                "has {own} seals: it was cut off, and tampered with",
                theirs=theirs.size,
                own=latest.number if latest else 0,
            ),
        )
    if tree_root(leaves_of_log(until=theirs.size)) != theirs.root:
        return Comparison(
            Standing.BROKEN,
            sentence(
                "it is signed with the key of this journal as checkpoint {theirs}, and its root is "
                "not the one of the journal's first {theirs} seals: the journal was tampered with",
                theirs=theirs.size,
            ),
        )
    return Comparison(
        Standing.HOLDS,
        sentence(
            "it is checkpoint {number} of this journal, which only grew since: everything sealed "
            "up to {day} is what it was",
            number=theirs.size,
            day=f"{sealed.made_at:%Y-%m-%d}",
        ),
    )


def _own_keys(*seals: Seal | None) -> set[PublicKey]:
    """The key of today, and those of seals, should it have been changed."""
    return {seal_key().public} | {PublicKey.read(one.key) for one in seals if one and one.key}
