"""Encrypted archives against what is not ours: pyrage, and a file that the age tool wrote.

Both follow C2SP, age-encryption.org/v1.
"""

import io
import os
from base64 import b64decode

import pyrage
import pytest

from upkeep.backup import encryption
from upkeep.backup.encryption import EncryptedReader, EncryptedWriter, is_encrypted
from upkeep.backup.refusals import DamagedArchive

PASSPHRASE = "three wet larks"
# Written once by `age --passphrase` 1.1.1 from b"doors".
BY_THE_TOOL = b64decode(
    "YWdlLWVuY3J5cHRpb24ub3JnL3YxCi0+IHNjcnlwdCBqcUQ3MkVDdmVLU3lNVndvQXpkd1p3IDE4CkZUVFRsRmtiYzdyc0lP"
    "aVE0L3VLN3B5T2FSdW1iM0psbDlxVS8xTDJBY0kKLS0tIDc0V0tSRTZDS0cvTi9OMzMxM3A5T2VEaVYrb3BmT2V0TExlSEVR"
    "Q2VzbGsKvDCmYIKw9TV6cFpqh2l4CpXm3J6TG2Pdj3P5i/BFjjnhCdEE+w=="
)


@pytest.fixture(autouse=True)
def _guesses_cost_little(monkeypatch):
    monkeypatch.setattr(encryption, "SCRYPT_LOG_N", 10)


def encrypted(content: bytes) -> bytes:
    target = io.BytesIO()
    with EncryptedWriter(target, PASSPHRASE) as writer:
        for start in range(0, len(content), 50_000):
            writer.write(content[start : start + 50_000])
    return target.getvalue()


def decrypted(archive: bytes, passphrase: str = PASSPHRASE) -> bytes:
    return io.BufferedReader(EncryptedReader(io.BytesIO(archive), passphrase)).read()


# A piece is 65,536 bytes; the last one is never empty unless the whole is.
@pytest.mark.parametrize("size", [0, 1, 65_535, 65_536, 65_537, 131_072, 200_000])
def test_the_library_of_the_format_opens_what_is_written(size):
    content = os.urandom(size)
    archive = encrypted(content)
    assert is_encrypted(io.BytesIO(archive))
    assert pyrage.passphrase.decrypt(archive, PASSPHRASE) == content
    assert decrypted(archive) == content


def test_what_the_tool_of_the_format_wrote_is_opened():
    assert decrypted(BY_THE_TOOL) == b"doors"


def test_another_passphrase_is_refused():
    with pytest.raises(DamagedArchive, match="the passphrase is another one"):
        decrypted(BY_THE_TOOL, "three dry larks")


def test_a_header_that_was_changed_anywhere_is_refused():
    archive = encrypted(b"doors")
    for place in range(archive.rindex(b"\n--- ") + 20):
        flipped = bytearray(archive)
        flipped[place] ^= 1
        with pytest.raises(DamagedArchive):
            decrypted(bytes(flipped))


def test_a_header_without_its_end_is_refused():
    lines = encrypted(b"doors").split(b"\n")
    for header in ([], lines[:1], lines[:3], [*lines[:3], lines[3] + b"A", *lines[4:]]):
        with pytest.raises(DamagedArchive, match="header"):
            decrypted(b"\n".join(header))


def test_a_header_that_asks_for_more_memory_than_a_gibibyte_is_refused_unread():
    # published: RFC 7914 2, scrypt takes 128 N r bytes; with r = 8, N = 2^21 is 2 GiB
    with pytest.raises(DamagedArchive, match="header"):
        decrypted(BY_THE_TOOL.replace(b" 18\n", b" 21\n"))
