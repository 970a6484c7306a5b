"""Checkpoints: what a log of seals was at one size, signed, as transparency logs write it.

A checkpoint (C2SP tlog-checkpoint) is the name of the log, how many seals it has and the root of
their Merkle tree; a signed note (C2SP signed-note) around it carries Ed25519 signatures. Keys are
written as those notes write them: name, hash and key, joined by `+`. Knows no framework, so that a
paper can be verified without the service.
"""

import base64
import binascii
import hashlib
from dataclasses import dataclass
from typing import Self

from cryptography.exceptions import InvalidSignature
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey, Ed25519PublicKey

from jobs.sentences import Sentence, sentence

ED25519 = b"\x01"
PRIVATE = "PRIVATE+KEY+"
SIGNATURE = "\N{EM DASH} "
KEY_BYTES, HASH_BYTES, ROOT_BYTES, SIGNATURE_BYTES = 32, 4, 32, 64


class UnreadableCheckpoint(ValueError):
    """A text that is no checkpoint, or a key that is none; `why` says which part of it."""

    def __init__(self, why: Sentence) -> None:
        super().__init__(why)
        self.why = why


@dataclass(frozen=True, slots=True)
class PublicKey:
    """What a log's checkpoints are verified with; `str()` writes it as a verifier key."""

    name: str
    key: bytes

    @property
    def hash(self) -> bytes:
        return hashlib.sha256(self.name.encode() + b"\n" + ED25519 + self.key).digest()[:HASH_BYTES]

    def __str__(self) -> str:
        return f"{self.name}+{self.hash.hex()}+{_base64(ED25519 + self.key)}"

    @classmethod
    def read(cls, text: str) -> Self:
        """Raises `UnreadableCheckpoint`."""
        name, content = _key_parts(text)
        key = cls(name, content)
        if str(key) != text:
            raise UnreadableCheckpoint(sentence("the key's hash is not that of its name and key"))
        return key

    def has_signed(self, body: str, signature: bytes) -> bool:
        try:
            Ed25519PublicKey.from_public_bytes(self.key).verify(signature, body.encode())
        except InvalidSignature:
            return False
        return True


@dataclass(frozen=True, slots=True)
class PrivateKey:
    """What a log signs its checkpoints with; `seed` is the private key of RFC 8032."""

    name: str
    seed: bytes

    @classmethod
    def made(cls, name: str) -> Self:
        return cls(name, Ed25519PrivateKey.generate().private_bytes_raw())

    @classmethod
    def read(cls, text: str) -> Self:
        """Raises `UnreadableCheckpoint`, which says nothing of the key itself."""
        if not text.startswith(PRIVATE):
            raise UnreadableCheckpoint(
                sentence("a key to sign with begins with {beginning}", beginning=PRIVATE)
            )
        key = cls(*_key_parts(text.removeprefix(PRIVATE)))
        if key.written() != text:
            raise UnreadableCheckpoint(sentence("the key's hash is not that of its name and key"))
        return key

    def written(self) -> str:
        """As a file keeps it."""
        return f"{PRIVATE}{self.name}+{self.public.hash.hex()}+{_base64(ED25519 + self.seed)}"

    @property
    def public(self) -> PublicKey:
        key = Ed25519PrivateKey.from_private_bytes(self.seed).public_key()
        return PublicKey(self.name, key.public_bytes_raw())

    def sign(self, size: int, root: bytes) -> str:
        """The signed note of a checkpoint."""
        body = f"{self.name}\n{size}\n{_base64(root)}\n"
        signature = Ed25519PrivateKey.from_private_bytes(self.seed).sign(body.encode())
        return f"{body}\n{SIGNATURE}{self.name} {_base64(self.public.hash + signature)}\n"


@dataclass(frozen=True, slots=True)
class Checkpoint:
    """A signed note as it was read: `body` is what its `signatures` (name, hash of the key and
    signature) are of."""

    origin: str
    size: int
    root: bytes
    body: str
    signatures: tuple[tuple[str, bytes, bytes], ...]

    def is_signed_by(self, key: PublicKey) -> bool:
        """Whether one of its signatures is by this key, and none that says so is another's."""
        own = [
            signature
            for name, hash_, signature in self.signatures
            if (name, hash_) == (key.name, key.hash)
        ]
        return bool(own) and all(key.has_signed(self.body, signature) for signature in own)

    def contradicts(self, other: "Checkpoint") -> bool:
        """Two of one log that no single log can have had."""
        return (self.origin, self.size) == (other.origin, other.size) and self.root != other.root


def read_checkpoint(note: str) -> Checkpoint:
    """A signed note of a checkpoint. Raises `UnreadableCheckpoint`."""
    text, blank, signatures = note.partition("\n\n")
    lines = text.split("\n")
    if not blank or len(lines) < 3:  # noqa: PLR2004  name, size and root
        raise UnreadableCheckpoint(
            sentence(
                "a checkpoint has its log's name, its size and its root on three lines, then an "
                "empty line and its signatures"
            )
        )
    origin, size, root, *more = lines
    if not origin or not all(more):
        raise UnreadableCheckpoint(sentence("a line before the signatures is empty"))
    if not (size.isascii() and size.isdecimal()) or str(int(size)) != size:
        raise UnreadableCheckpoint(sentence("the size on its second line is no whole number"))
    if not signatures.endswith("\n"):
        raise UnreadableCheckpoint(sentence("the last line does not end"))
    return Checkpoint(
        origin,
        int(size),
        _bytes(root, ROOT_BYTES, sentence("the root on its third line")),
        text + "\n",
        tuple(_signature(line) for line in signatures.removesuffix("\n").split("\n")),
    )


def _signature(line: str) -> tuple[str, bytes, bytes]:
    name, space, content = line.removeprefix(SIGNATURE).partition(" ")
    if not line.startswith(SIGNATURE) or not space or not name:
        raise UnreadableCheckpoint(sentence("a signature is a dash, a name and what was signed"))
    signature = _bytes(content, None, sentence("a signature"))
    if len(signature) <= HASH_BYTES:
        raise UnreadableCheckpoint(sentence("a signature is too short"))
    return name, signature[:HASH_BYTES], signature[HASH_BYTES:]


def _key_parts(text: str) -> tuple[str, bytes]:
    parts = text.split("+", 2)
    if len(parts) != 3 or not parts[0] or any(c.isspace() for c in parts[0]):  # noqa: PLR2004
        raise UnreadableCheckpoint(sentence("a key is its name, hash and content, joined by +"))
    content = _bytes(parts[2], len(ED25519) + KEY_BYTES, sentence("the key"))
    if not content.startswith(ED25519):
        raise UnreadableCheckpoint(sentence("the key is not one of Ed25519"))
    return parts[0], content.removeprefix(ED25519)


def _base64(content: bytes) -> str:
    return base64.b64encode(content).decode()


def _bytes(text: str, length: int | None, part: Sentence) -> bytes:
    try:
        content = base64.b64decode(text, validate=True)
    except (binascii.Error, ValueError) as fault:
        raise UnreadableCheckpoint(sentence("{part} is not base64", part=part)) from fault
    if _base64(content) != text or length not in (None, len(content)):
        raise UnreadableCheckpoint(sentence("{part} has not the length it should have", part=part))
    return content
