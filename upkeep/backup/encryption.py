"""Encrypting an archive with a passphrase in the age format, which any age tool opens:

    age --decrypt ARCHIVE | tar --extract --gzip

Version 1 of the format (C2SP, age-encryption.org/v1), binary, with its `scrypt` recipient alone.
The header wraps a random file key under scrypt (RFC 7914) of the passphrase and ends with its own
HMAC. The payload is ChaCha20-Poly1305 (RFC 8439) in pieces, whose nonces count them and mark the
last, so that none can be changed, moved or left out, and what was cut off has no last piece.

It is written here piece by piece since pyrage, the library for the format, takes a passphrase only
for what is held in memory whole, and 1 GiB more for scrypt. Tests open with it what this writes.
"""

import io
import re
import secrets
from base64 import b64decode, b64encode
from typing import IO

from cryptography.exceptions import InvalidSignature, InvalidTag
from cryptography.hazmat.primitives.ciphers.aead import ChaCha20Poly1305
from cryptography.hazmat.primitives.hashes import SHA256
from cryptography.hazmat.primitives.hmac import HMAC
from cryptography.hazmat.primitives.kdf.hkdf import HKDF
from cryptography.hazmat.primitives.kdf.scrypt import Scrypt

from upkeep.backup.refusals import DamagedArchive

VERSION = b"age-encryption.org/v1"
# 128 MiB and about half a second for every guess.
SCRYPT_LOG_N = 17
# What a header may ask of this machine: 1 GiB.
LARGEST_LOG_N = 20
FILE_KEY_SIZE, SALT_SIZE, NONCE_SIZE = 16, 16, 16
PIECE_SIZE, TAG_SIZE = 65_536, 16
HEADER_LINES, LONGEST_LINE = 4, 100
# Salt, work factor, wrapped file key, MAC; the first group is what the MAC covers.
HEADER = re.compile(
    rb"(age-encryption\.org/v1\n-> scrypt ([A-Za-z0-9+/]{22}) ([1-9][0-9]?)\n"
    rb"([A-Za-z0-9+/]{43})\n---) ([A-Za-z0-9+/]{43})\n"
)


class PieceCipher:
    """Encrypts and decrypts the pieces of one archive, in their order."""

    def __init__(self, file_key: bytes, nonce: bytes) -> None:
        self._cipher = ChaCha20Poly1305(_derived(file_key, b"payload", nonce))
        self._number = 0

    def encrypt(self, piece: bytes, *, last: bool) -> bytes:
        return self._cipher.encrypt(self._next_nonce(last), piece, None)

    def decrypt(self, piece: bytes, *, last: bool) -> bytes:
        """Raises `DamagedArchive`."""
        try:
            return self._cipher.decrypt(self._next_nonce(last), piece, None)
        except InvalidTag:
            raise DamagedArchive(f"piece {self._number} of the archive is damaged") from None

    def _next_nonce(self, last: bool) -> bytes:
        self._number += 1
        return (self._number - 1).to_bytes(11) + bytes([last])


class EncryptedWriter(io.RawIOBase):
    """Encrypts what is written to it. `close` writes the last piece; it leaves `target` open."""

    def __init__(self, target: IO[bytes], passphrase: str) -> None:
        file_key, nonce = secrets.token_bytes(FILE_KEY_SIZE), secrets.token_bytes(NONCE_SIZE)
        self._target, self._cipher = target, PieceCipher(file_key, nonce)
        self._waiting = bytearray()
        target.write(_header(file_key, passphrase) + nonce)

    def writable(self) -> bool:
        return True

    def write(self, content: object) -> int:
        given = bytes(content)  # type: ignore[call-overload]
        self._waiting += given
        # A whole piece waits until more comes: it may be the last.
        while len(self._waiting) > PIECE_SIZE:
            self._target.write(self._cipher.encrypt(bytes(self._waiting[:PIECE_SIZE]), last=False))
            del self._waiting[:PIECE_SIZE]
        return len(given)

    def close(self) -> None:
        if not self.closed:
            self._target.write(self._cipher.encrypt(bytes(self._waiting), last=True))
        super().close()


class EncryptedReader(io.RawIOBase):
    """Reads what an `EncryptedWriter` wrote; raises `DamagedArchive` for what it cannot open."""

    def __init__(self, source: IO[bytes], passphrase: str) -> None:
        file_key = _read_file_key(source, passphrase)
        self._source, self._cipher = source, PieceCipher(file_key, source.read(NONCE_SIZE))
        self._encrypted = source.read(PIECE_SIZE + TAG_SIZE)
        self._open, self._ended = b"", False

    def readable(self) -> bool:
        return True

    def readinto(self, buffer: object) -> int:
        view = memoryview(buffer)  # type: ignore[arg-type]
        while not self._open and not self._ended:
            following = self._source.read(PIECE_SIZE + TAG_SIZE)
            self._ended = not following
            self._open = self._cipher.decrypt(self._encrypted, last=self._ended)
            self._encrypted = following
        taken, self._open = self._open[: len(view)], self._open[len(view) :]
        view[: len(taken)] = taken
        return len(taken)


def is_encrypted(source: IO[bytes]) -> bool:
    """Whether a file begins as an encrypted archive; its position is 0 afterwards."""
    start = source.read(len(VERSION))
    source.seek(0)
    return start == VERSION


def _header(file_key: bytes, passphrase: str) -> bytes:
    salt = secrets.token_bytes(SALT_SIZE)
    wrapped = _wrapping(passphrase, salt, SCRYPT_LOG_N).encrypt(bytes(12), file_key, None)
    stanza = b"-> scrypt %s %d\n%s" % (_text(salt), SCRYPT_LOG_N, _text(wrapped))
    signed = b"%s\n%s\n---" % (VERSION, stanza)
    return b"%s %s\n" % (signed, _text(_mac(file_key, signed).finalize()))


def _read_file_key(source: IO[bytes], passphrase: str) -> bytes:
    """Raises `DamagedArchive`, for a wrong passphrase too."""
    header = HEADER.fullmatch(b"".join(source.readline(LONGEST_LINE) for _ in range(HEADER_LINES)))
    if header is None or int(header[3]) > LARGEST_LOG_N:
        raise DamagedArchive("the header of the archive is none that this release writes")
    try:
        wrapping = _wrapping(passphrase, _bytes(header[2]), int(header[3]))
        file_key = wrapping.decrypt(bytes(12), _bytes(header[4]), None)
        _mac(file_key, header[1]).verify(_bytes(header[5]))
    except (InvalidTag, InvalidSignature):
        why = "the passphrase is another one, or it was damaged"
        raise DamagedArchive(f"the archive cannot be opened: {why}") from None
    return file_key


def _wrapping(passphrase: str, salt: bytes, log_n: int) -> ChaCha20Poly1305:
    scrypt = Scrypt(salt=VERSION + b"/scrypt" + salt, length=32, n=1 << log_n, r=8, p=1)
    return ChaCha20Poly1305(scrypt.derive(passphrase.encode()))


def _mac(file_key: bytes, header: bytes) -> HMAC:
    mac = HMAC(_derived(file_key, b"header"), SHA256())
    mac.update(header)
    return mac


def _derived(file_key: bytes, purpose: bytes, salt: bytes | None = None) -> bytes:
    return HKDF(SHA256(), 32, salt, purpose).derive(file_key)


def _text(content: bytes) -> bytes:
    return b64encode(content).rstrip(b"=")


def _bytes(text: bytes) -> bytes:
    return b64decode(text + b"=" * (-len(text) % 4))
