"""Writing and reading the parts of an archive, in the order in which they were put in."""

import gzip
import hashlib
import os
import tarfile
import zlib
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from pathlib import Path
from types import TracebackType
from typing import IO, Self, cast

from upkeep.backup import manifest as manifests
from upkeep.backup.encryption import EncryptedReader, EncryptedWriter, is_encrypted
from upkeep.backup.manifest import Manifest, Part, read_manifest
from upkeep.backup.refusals import BackupRefused, DamagedArchive

PASSPHRASE = "BACKUP_PASSPHRASE"  # noqa: S105  the name of the variable
READ_AT_ONCE = 1_048_576
TORN = (tarfile.TarError, gzip.BadGzipFile, zlib.error, EOFError)


class ArchiveWriter:
    """Puts parts into a new file, which is readable by its owner alone and appears only whole.

    Raises `BackupRefused` where there is a file already.
    """

    def __init__(self, path: Path, passphrase: str) -> None:
        if path.exists():
            raise BackupRefused(f"{path} exists already; name another file, or a folder")
        self._path, self._draft = path, path.with_name(f".{path.name}.{os.getpid()}")
        self._layers = ExitStack()
        self._passphrase = passphrase

    def __enter__(self) -> Self:
        enter = self._layers.enter_context
        owner_alone = os.O_WRONLY | os.O_CREAT | os.O_EXCL
        layer: IO[bytes] = enter(os.fdopen(os.open(self._draft, owner_alone, 0o600), "wb"))
        if self._passphrase:
            layer = cast(IO[bytes], enter(EncryptedWriter(layer, self._passphrase)))
        zipped = enter(gzip.GzipFile(filename="", mode="wb", fileobj=layer))
        self._tar = enter(tarfile.open(fileobj=zipped, mode="w|"))
        return self

    def add(self, name: str, content: IO[bytes]) -> Part:
        """Put in what is left to read of a file that can be read twice."""
        start = content.tell()
        part = part_of(content)
        content.seek(start)
        header = tarfile.TarInfo(name)
        header.size, header.mode = part.size, 0o600
        self._tar.addfile(header, content)
        return part

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        try:
            self._layers.__exit__(kind, error, trace)
            if error is None:
                os.link(self._draft, self._path)
        finally:
            self._draft.unlink(missing_ok=True)


@contextmanager
def parts_of(path: Path, passphrase: str) -> Iterator[Iterator[tuple[str, IO[bytes]]]]:
    """Every part with its name, each to be read before the next is asked for.

    Raises `DamagedArchive` for what cannot be read to its end, and `BackupRefused` for an
    encrypted archive without a passphrase.
    """
    with path.open("rb") as file, ExitStack() as layers:
        try:
            zipped = layers.enter_context(gzip.GzipFile(fileobj=_opened(file, passphrase)))
            tar = layers.enter_context(tarfile.open(fileobj=zipped, mode="r|"))
            yield _parts(tar, zipped)
        except TORN as fault:
            raise DamagedArchive(f"the archive cannot be read to its end: {fault}") from fault


def check_archive(path: Path, passphrase: str) -> Manifest:
    """Read an archive to its end and hold every part against the manifest, which it returns.

    Raises `DamagedArchive` with the first part that is missing, added, or other than it was.
    """
    parts_held: dict[str, Part] = {}
    text = b""
    with parts_of(path, passphrase) as parts:
        for name, content in parts:
            if name == manifests.NAME:
                text = content.read()
            else:
                parts_held[name] = part_of(content)
    manifest = read_manifest(text)
    for name in sorted(parts_held.keys() | manifest.parts.keys()):
        if parts_held.get(name) != manifest.parts.get(name):
            raise DamagedArchive(f"{name} is not what the manifest says")
    return manifest


def part_of(content: IO[bytes]) -> Part:
    """SHA-256 and size of what is left to read."""
    digest, size = hashlib.sha256(), 0
    while piece := content.read(READ_AT_ONCE):
        digest.update(piece)
        size += len(piece)
    return Part(digest.hexdigest(), size)


def _opened(file: IO[bytes], passphrase: str) -> IO[bytes]:
    if not is_encrypted(file):
        return file
    if not passphrase:
        raise BackupRefused(f"the archive is encrypted; set {PASSPHRASE}")
    return cast(IO[bytes], EncryptedReader(file, passphrase))


def _parts(tar: tarfile.TarFile, zipped: gzip.GzipFile) -> Iterator[tuple[str, IO[bytes]]]:
    for member in tar:
        content = tar.extractfile(member) if member.isfile() else None
        if content is None:
            raise DamagedArchive(f"{member.name} is no file")
        yield member.name, content
    # To the very end: what checks the whole stands behind the last part.
    while zipped.read(READ_AT_ONCE):
        pass
