"""The proof inside a paper: from the record that it is drawn from to a signed checkpoint.

The paper is drawn after the entry that asks for it was sealed, so all of this exists before the
first byte of the file does and is signed with it. Its own SHA-256 cannot be inside; that is in the
journal alone, and in whatever seal and checkpoint comes next.
"""

import hashlib
import json
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

import msgspec

from jobs.arithmetic.merkle import UnsoundProof, is_consistent, leaf_hash, root_of_inclusion
from jobs.arithmetic.seal_leaf import chain_leaf, hash_of_leaf
from jobs.checkpoints import Checkpoint, PublicKey, read_checkpoint
from jobs.keyed_digests import keyed_digest
from jobs.sentences import sentence
from reports.verification.findings import Finding, broken, holds, missing, unknown

REQUESTED = "document.requested"
KINDS = {
    "survey_sheet": sentence("a survey sheet"),
    "fitting_pack": sentence("a fitting pack"),
    "defect_report": sentence("a defect report"),
    "completion_certificate": sentence("a completion certificate"),
}


class Proof(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """`entries` are texts of the job's chain, from the one after the head that the paper prints to
    the one that asked for the paper; `record_key` opens the keyed digest in that one. `seal_path`
    leads from it, as leaf `seal_index` of `seal_size`, to the root of its seal; `log_path` from
    there to the root of `checkpoint`, a signed note, whose last leaf it is. `printed_path` leads
    from the seal that the paper prints to the checkpoint that it prints, and `since_printed` shows
    that this one's log begins with that one's. Hashes are hexadecimal."""

    entries: tuple[str, ...]
    record_key: str
    seal_index: int
    seal_size: int
    seal_path: tuple[str, ...]
    log_path: tuple[str, ...]
    checkpoint: str
    checkpoint_key: str
    printed_path: tuple[str, ...] = ()
    since_printed: tuple[str, ...] = ()

    @classmethod
    def read(cls, text: bytes) -> "Proof":
        """Raises `ValueError` for one that is not written as `write` does it."""
        proof = msgspec.json.decode(text, type=cls)
        if proof.write().encode() != text:
            raise ValueError(sentence("the proof is not written as the service writes it"))
        return proof

    def write(self) -> str:
        return msgspec.json.encode(self).decode()


@dataclass(frozen=True, slots=True)
class Claims:
    """What a proof is held against: the text of the record in the file, and the record."""

    text: str
    record: Mapping[str, Any]

    @property
    def journal(self) -> Mapping[str, Any]:
        return dict(self.record["journal"])


def check_proof(proof: Proof, claims: Claims) -> Iterator[Finding]:
    """Raises `LookupError`, `TypeError` or `ValueError` for a proof whose parts are not what they
    should be."""
    yield _chain(proof, claims)
    yield _request(proof, claims)
    yield _kind(proof)
    seal = _root(_leaf(proof), proof.seal_index, proof.seal_size, proof.seal_path)
    checkpoint, key = read_checkpoint(proof.checkpoint), PublicKey.read(proof.checkpoint_key)
    yield _sealed(proof, seal, checkpoint)
    yield _signed(checkpoint, key)
    yield from _printed(proof, claims, checkpoint)


def _chain(proof: Proof, claims: Claims) -> Finding:
    entries = [json.loads(text) for text in proof.entries]
    previous = [claims.journal["head"], *map(_digest, proof.entries)]
    numbers = [claims.journal["entries"], *(entry["number"] for entry in entries)]
    follows = (
        all(after == before + 1 for before, after in pairwise(numbers))
        and [entry["previous"] for entry in entries] == previous[:-1]
        and len({entry["stream"] for entry in entries}) == 1
    )
    if not follows:
        return broken(
            "chain",
            sentence("the entries of the journal inside do not follow the head in the record"),
        )
    return holds(
        "chain",
        sentence(
            "entry {number} of the chain of this job, which asks for this paper, follows the head "
            "that its record names (entry {printed})",
            number=numbers[-1],
            printed=numbers[0],
        ),
    )


def _request(proof: Proof, claims: Claims) -> Finding:
    entry = json.loads(proof.entries[-1])
    paper = claims.record["paper"]
    is_of_it = (
        entry["type"] == REQUESTED
        and entry["body"]["record"] == keyed_digest(proof.record_key, "record", claims.text)
        and (entry["body"]["number"], entry["body"]["edition"])
        == (paper["number"], paper["edition"])
    )
    if not is_of_it:
        return broken(
            "record",
            sentence("the record inside is not the one that the journal holds the digest of"),
        )
    return holds(
        "record",
        sentence(
            "the record inside is, letter by letter, the one whose digest that entry holds, made "
            "on {moment} by the firm's clock",
            moment=entry["created_at"],
        ),
    )


def _kind(proof: Proof) -> Finding:
    """By the journal: what stands at the head of the pages is for a reader to compare."""
    kind = json.loads(proof.entries[-1])["body"]["kind"]
    return holds("kind", sentence("it is {kind}, by that entry", kind=KINDS.get(kind, kind)))


def _sealed(proof: Proof, seal: bytes, checkpoint: Checkpoint) -> Finding:
    path = _hashes(proof.log_path)
    if _climb(leaf_hash(seal), checkpoint.size - 1, checkpoint.size, path) != checkpoint.root:
        return broken("seal", sentence("the entry is in no seal of the checkpoint inside"))
    return holds(
        "seal",
        sentence(
            "that entry is in seal {number} of the journal ({root}), and the seal in the log of "
            "checkpoint {number}",
            number=checkpoint.size,
            root=seal.hex(),
        ),
    )


def _signed(checkpoint: Checkpoint, key: PublicKey) -> Finding:
    if checkpoint.origin != key.name or not checkpoint.is_signed_by(key):
        return broken("checkpoint", sentence("the checkpoint inside is not signed by its key"))
    return holds(
        "checkpoint",
        sentence("the checkpoint is signed by the key {key}", key=str(key)),
    )


def _printed(proof: Proof, claims: Claims, checkpoint: Checkpoint) -> Iterator[Finding]:
    """The seal and the checkpoint that the record names, and a certificate prints, which are older
    than those of the proof."""
    note, key = claims.journal.get("checkpoint"), claims.journal.get("checkpoint_key")
    if not note or not key:
        yield missing("printed_checkpoint", sentence("the record names no checkpoint"))
        return
    printed = read_checkpoint(note)
    if not printed.is_signed_by(PublicKey.read(key)):
        yield broken(
            "printed_checkpoint", sentence("the printed checkpoint is not signed by its key")
        )
        return
    seal = leaf_hash(bytes.fromhex(claims.journal["seal_root"]))
    path, between = _hashes(proof.printed_path), _hashes(proof.since_printed)
    is_of_log = _climb(seal, printed.size - 1, printed.size, path) == printed.root
    if not is_of_log or not is_consistent(
        (printed.size, printed.root), (checkpoint.size, checkpoint.root), between
    ):
        yield broken(
            "printed_checkpoint",
            sentence("the printed seal and checkpoint are not of the log of the checkpoint inside"),
        )
        return
    yield holds(
        "printed_checkpoint",
        sentence(
            "the seal and the checkpoint that its record names (number {printed}) are of the same "
            "log: it only grew from there to checkpoint {number}",
            printed=printed.size,
            number=checkpoint.size,
        ),
    )
    if key != proof.checkpoint_key:
        yield unknown(
            "printed_checkpoint",
            sentence("the log's key was changed between the two; ask the firm, or a witness, why"),
        )


def _leaf(proof: Proof) -> bytes:
    text = proof.entries[-1]
    entry = json.loads(text)
    return hash_of_leaf(chain_leaf(entry["stream"], entry["number"], _digest(text)))


def _root(leaf: bytes, index: int, size: int, path: tuple[str, ...]) -> bytes:
    return _climb(leaf, index, size, _hashes(path)) or b""


def _climb(leaf: bytes, index: int, size: int, path: list[bytes]) -> bytes | None:
    try:
        return root_of_inclusion(leaf, index, size, path)
    except UnsoundProof:
        return None


def _hashes(path: Sequence[str]) -> list[bytes]:
    hashes = [bytes.fromhex(hash_) for hash_ in path]
    if [hash_.hex() for hash_ in hashes] != list(path):
        raise ValueError(sentence("a hash is not written in small hexadecimal digits"))
    return hashes


def _digest(text: str) -> str:
    return hashlib.sha256(text.encode()).hexdigest()
