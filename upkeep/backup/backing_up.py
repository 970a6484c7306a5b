"""Making an archive of everything.

The rows are read in one transaction, so they are those of one moment. The files are copied after
it: a file is never changed once it is written, and one that came later is named by no row.
"""

from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from io import BytesIO
from pathlib import Path
from tempfile import TemporaryFile
from typing import IO

from django.core.files.storage import Storage
from django.db import connection, transaction
from django.utils import timezone

from upkeep.backup import manifest as manifests
from upkeep.backup.archive import ArchiveWriter, check_archive
from upkeep.backup.keys import FOLDER as KEYS
from upkeep.backup.keys import own_keys
from upkeep.backup.manifest import Manifest, applied_migrations
from upkeep.backup.rows import Model, models_in_order, row_lines

ROWS, FILES = "rows/", "files/"


def archive_path(target: Path) -> Path:
    """`target` itself, or in a folder a file named after this second."""
    if target.is_dir():
        return target / f"sillwright-{timezone.now():%Y%m%dT%H%M%SZ}.tar.gz"
    return target


def back_up(path: Path, *, passphrase: str, with_keys: bool) -> Manifest:
    """Write everything into a new archive, and read it back to be sure of it.

    Raises `BackupRefused`; there is no archive then.
    """
    with ExitStack() as open_files:
        manifest, rows, files = _read_rows(open_files)
        with ArchiveWriter(path, passphrase) as archive:
            for model, lines in rows.items():
                _put(archive, manifest, f"{ROWS}{model._meta.label_lower}.jsonl", lines)
            for name, storage in sorted(files.items()):
                _put_file(archive, manifest, name, storage)
            for name, key in own_keys() if with_keys else ():
                _put(archive, manifest, KEYS + name, BytesIO(key))
            archive.add(manifests.NAME, BytesIO(manifest.text()))
    return check_archive(path, passphrase)


def _read_rows(
    open_files: ExitStack,
) -> tuple[Manifest, dict[Model, IO[bytes]], dict[str, Storage]]:
    """The rows of every model as they are at one moment, in nameless files, and the files that
    they name with where those are kept."""
    rows: dict[Model, IO[bytes]] = {}
    files: dict[str, Storage] = {}
    with _one_moment():
        manifest = Manifest(timezone.now().isoformat(), applied_migrations())
        for model in models_in_order():
            rows[model] = lines = open_files.enter_context(TemporaryFile())  # noqa: SIM115
            count = 0
            for line, named in row_lines(model):
                lines.write(line)
                count += 1
                files |= named
            lines.seek(0)
            manifest.counts[model._meta.label_lower] = count
    return manifest, rows, files


@contextmanager
def _one_moment() -> Iterator[None]:
    """A transaction that sees nothing of what others commit meanwhile. On SQLite the settings let
    every transaction begin as IMMEDIATE, and nobody writes until it ends."""
    with transaction.atomic(durable=True):
        if connection.vendor == "postgresql":
            with connection.cursor() as cursor:
                cursor.execute("SET TRANSACTION ISOLATION LEVEL REPEATABLE READ, READ ONLY")
        yield


def _put(archive: ArchiveWriter, manifest: Manifest, name: str, content: IO[bytes]) -> None:
    manifest.parts[name] = archive.add(name, content)


def _put_file(archive: ArchiveWriter, manifest: Manifest, name: str, storage: Storage) -> None:
    try:
        with storage.open(name) as content:
            _put(archive, manifest, FILES + name, content)
    except FileNotFoundError:
        manifest.missing.append(name)
