"""What others hold of the same log: checkpoints that were sent to them, and lists of seals.

A witness needs no key and no program: a letter that was kept is enough. Two checkpoints of one size
with other roots, both signed by the log's key, cannot both be of one log: whoever holds that key
has shown different people different pasts.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

import msgspec

from jobs.arithmetic.merkle import Hash, leaf_hash, tree_root
from jobs.checkpoints import Checkpoint, PublicKey, UnreadableCheckpoint, read_checkpoint
from jobs.sentences import sentence
from reports.verification.findings import Finding, broken, holds, unknown


class Witness(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """What a letter to a witness has attached: the checkpoint, and the roots of the seals since
    the one before it, of which the first is number `first_seal`."""

    checkpoint: str
    checkpoint_key: str
    first_seal: int
    seals: tuple[str, ...]

    @classmethod
    def read(cls, content: bytes) -> "Witness":
        """A letter's attachment, or the text of a checkpoint. Raises `UnreadableCheckpoint`."""
        if not content.lstrip().startswith(b"{"):
            return cls(_text(content), "", 1, ())
        try:
            witness = msgspec.json.decode(content, type=cls)
            _ = [bytes.fromhex(seal) for seal in witness.seals]
        except (ValueError, msgspec.DecodeError) as fault:
            raise UnreadableCheckpoint(
                sentence("it is no attachment of a letter to a witness")
            ) from fault
        return witness

    def write(self) -> bytes:
        return msgspec.json.format(msgspec.json.encode(self))


def _text(content: bytes) -> str:
    """As it may have been pasted: with the line ends of another machine, and white space around."""
    try:
        lines = content.decode().strip().splitlines()
    except UnicodeDecodeError as fault:
        raise UnreadableCheckpoint(sentence("it is no text")) from fault
    return "\n".join(line.strip() for line in lines) + "\n"


@dataclass
class Log:
    """What is known of a log from one paper: `own` is its checkpoint. `seals` are all that
    witnesses have told of, by number."""

    own: Checkpoint
    key: PublicKey
    seals: dict[int, Hash] = field(default_factory=dict)

    def root_at(self, size: int) -> bytes | None:
        """None where some seal up to there is not known."""
        leaves = [self.seals.get(number) for number in range(1, size + 1)]
        known = [leaf for leaf in leaves if leaf is not None]
        return tree_root(known) if len(known) == size else None


def check_witnesses(
    own: Checkpoint, key: PublicKey, witnesses: Sequence[tuple[str, Witness]]
) -> Iterator[Finding]:
    """`witnesses` with the names of their files."""
    log = Log(own, key)
    for name, witness in witnesses:
        yield from _learn(log, name, witness)
    for name, witness in witnesses:
        yield _compare(log, name, read_checkpoint(witness.checkpoint))
    if not witnesses:
        yield unknown(
            "witnesses",
            sentence(
                "whether {key} is the firm's key, and its log what everybody else was shown: give "
                "a checkpoint that a witness kept, or one from another paper of the firm",
                key=str(key),
            ),
        )


def _learn(log: Log, name: str, witness: Witness) -> Iterator[Finding]:
    for number, seal in enumerate(witness.seals, start=witness.first_seal):
        leaf = leaf_hash(bytes.fromhex(seal))
        if log.seals.setdefault(number, leaf) != leaf:
            yield broken(
                "witnesses",
                sentence("{file} tells of another seal {number}", file=name, number=number),
            )


def _compare(log: Log, name: str, theirs: Checkpoint) -> Finding:
    if not theirs.is_signed_by(log.key):
        return unknown(
            "witnesses",
            sentence(
                "{file} is not signed by {key}: it is of another log", file=name, key=str(log.key)
            ),
        )
    if theirs.contradicts(log.own):
        return broken(
            "witnesses",
            sentence(
                "{file} contradicts this paper: both are signed as checkpoint {number} and have "
                "other roots. Whoever holds that key has told two stories; the journal was "
                "tampered with",
                file=name,
                number=theirs.size,
            ),
        )
    if theirs.size == log.own.size:
        return holds(
            "witnesses", sentence("{file} is the very checkpoint of this paper", file=name)
        )
    return _within(log, name, theirs)


def _within(log: Log, name: str, theirs: Checkpoint) -> Finding:
    """Two of other sizes: only the seals of one and the other can tell."""
    roots = {checkpoint.size: log.root_at(checkpoint.size) for checkpoint in (log.own, theirs)}
    if None in roots.values():
        return unknown(
            "witnesses",
            sentence(
                "{file} is checkpoint {theirs} of the same key; whether its log is that of "
                "checkpoint {own}, only the firm can say, or letters with all seals up to {most}",
                file=name,
                theirs=theirs.size,
                own=log.own.size,
                most=max(theirs.size, log.own.size),
            ),
        )
    if roots != {log.own.size: log.own.root, theirs.size: theirs.root}:
        return broken(
            "witnesses",
            sentence(
                "{file} and this paper are not of one log: the seals that witnesses were told of "
                "do not lead to both. The journal was tampered with",
                file=name,
            ),
        )
    return holds(
        "witnesses",
        sentence(
            "{file}, checkpoint {theirs}, is of the same log as checkpoint {own} of this paper",
            file=name,
            theirs=theirs.size,
            own=log.own.size,
        ),
    )
