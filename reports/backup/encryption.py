"""Encrypting an archive with a passphrase, piece by piece, so that it is never held whole.

The file is a header and pieces. The header, 44 bytes:

    20  b"SILLWRIGHT ENCRYPTED"
     1  version of this format: 1
     1  scrypt (RFC 7914): binary logarithm of N     1  r     1  p
    16  salt of scrypt
     4  start of every nonce

The key is scrypt of the passphrase in UTF-8, 32 bytes. Every piece is AES-256-GCM (NIST SP 800-38D)
of 65,536 bytes of the archive, the last one of what is left, and 16 bytes longer than that. The
nonce is the start from the header, the number of the piece from 0 as 7 bytes, most significant
first, and 1 byte that is 1 for the last piece and 0 for every other. The header is authenticated
with every piece. So no piece can be changed, moved, left out or taken from another archive, and an
archive that was cut off has no last piece.
"""

import io
import secrets
from dataclasses import dataclass
from typing import IO

from cryptography.exceptions import InvalidTag
from cryptography.hazmat.primitives.ciphers.aead import AESGCM
from cryptography.hazmat.primitives.kdf.scrypt import Scrypt

from reports.backup.refusals import BackupRefused, DamagedArchive

MAGIC = b"SILLWRIGHT ENCRYPTED"
FORMAT = 1
# 128 MiB and about half a second for every guess.
SCRYPT_LOG_N, SCRYPT_R, SCRYPT_P = 17, 8, 1
# What a header may ask of this machine: 1 GiB.
LARGEST_LOG_N = 20
SALT_SIZE, NONCE_START_SIZE = 16, 4
HEADER_SIZE = len(MAGIC) + 4 + SALT_SIZE + NONCE_START_SIZE
PIECE_SIZE, TAG_SIZE = 65_536, 16


@dataclass(frozen=True, slots=True)
class PieceCipher:
    """The key of one archive, and the nonces of its pieces."""

    cipher: AESGCM
    header: bytes

    @classmethod
    def of(cls, header: bytes, passphrase: str) -> "PieceCipher":
        log_n, r, p = header[len(MAGIC) + 1 : len(MAGIC) + 4]
        salt = header[len(MAGIC) + 4 :][:SALT_SIZE]
        key = Scrypt(salt=salt, length=32, n=1 << log_n, r=r, p=p).derive(passphrase.encode())
        return cls(AESGCM(key), header)

    def lock(self, number: int, piece: bytes, *, last: bool) -> bytes:
        return self.cipher.encrypt(self._nonce(number, last), piece, self.header)

    def open(self, number: int, piece: bytes, *, last: bool) -> bytes:
        """Raises `DamagedArchive`."""
        try:
            return self.cipher.decrypt(self._nonce(number, last), piece, self.header)
        except InvalidTag:
            where = f"piece {number + 1} of the archive cannot be opened"
            why = "the passphrase is another one, or it was damaged" if number == 0 else "damaged"
            raise DamagedArchive(f"{where}: {why}") from None

    def _nonce(self, number: int, last: bool) -> bytes:
        return self.header[-NONCE_START_SIZE:] + number.to_bytes(7) + bytes([last])


class EncryptedWriter(io.RawIOBase):
    """Encrypts what is written to it. `close` writes the last piece; it leaves `target` open."""

    def __init__(self, target: IO[bytes], passphrase: str) -> None:
        header = MAGIC + bytes([FORMAT, SCRYPT_LOG_N, SCRYPT_R, SCRYPT_P])
        header += secrets.token_bytes(SALT_SIZE + NONCE_START_SIZE)
        self._target, self._cipher = target, PieceCipher.of(header, passphrase)
        self._waiting, self._number = bytearray(), 0
        target.write(header)

    def writable(self) -> bool:
        return True

    def write(self, content: object) -> int:
        given = bytes(content)  # type: ignore[call-overload]
        self._waiting += given
        # A whole piece waits until more comes: it may be the last.
        while len(self._waiting) > PIECE_SIZE:
            self._put(bytes(self._waiting[:PIECE_SIZE]), last=False)
            del self._waiting[:PIECE_SIZE]
        return len(given)

    def close(self) -> None:
        if not self.closed:
            self._put(bytes(self._waiting), last=True)
        super().close()

    def _put(self, piece: bytes, *, last: bool) -> None:
        self._target.write(self._cipher.lock(self._number, piece, last=last))
        self._number += 1


class EncryptedReader(io.RawIOBase):
    """Reads what an `EncryptedWriter` wrote; raises `BackupRefused` for what it cannot open."""

    def __init__(self, source: IO[bytes], passphrase: str) -> None:
        header = source.read(HEADER_SIZE)
        _check_header(header)
        self._source, self._cipher = source, PieceCipher.of(header, passphrase)
        self._locked = source.read(PIECE_SIZE + TAG_SIZE)
        self._open, self._number, self._ended = b"", 0, False

    def readable(self) -> bool:
        return True

    def readinto(self, buffer: object) -> int:
        view = memoryview(buffer)  # type: ignore[arg-type]
        while not self._open and not self._ended:
            self._next_piece()
        taken, self._open = self._open[: len(view)], self._open[len(view) :]
        view[: len(taken)] = taken
        return len(taken)

    def _next_piece(self) -> None:
        following = self._source.read(PIECE_SIZE + TAG_SIZE)
        self._ended = not following
        self._open = self._cipher.open(self._number, self._locked, last=self._ended)
        self._locked, self._number = following, self._number + 1


def is_encrypted(source: IO[bytes]) -> bool:
    """Whether a file begins as an encrypted archive; it stands at its beginning afterwards."""
    start = source.read(len(MAGIC))
    source.seek(0)
    return start == MAGIC


def _check_header(header: bytes) -> None:
    if len(header) != HEADER_SIZE or not header.startswith(MAGIC):
        raise DamagedArchive("the archive has no whole header")
    version, log_n, r, p = header[len(MAGIC) : len(MAGIC) + 4]
    if version != FORMAT:
        raise BackupRefused(f"the archive is encrypted in format {version}; this is {FORMAT}")
    if not (1 <= log_n <= LARGEST_LOG_N and r == SCRYPT_R and p == SCRYPT_P):
        raise DamagedArchive("the header of the archive asks for what was never written")
