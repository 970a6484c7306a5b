"""Putting an archive back into an installation that holds nothing yet."""

from pathlib import Path
from typing import IO

from django.core.files.base import ContentFile
from django.core.files.storage import Storage
from django.db import Error, transaction

from upkeep.backup import keys
from upkeep.backup.archive import check_archive, part_of, parts_of
from upkeep.backup.backing_up import FILES, ROWS
from upkeep.backup.manifest import Manifest, Part, applied_migrations
from upkeep.backup.refusals import BackupRefused
from upkeep.backup.rows import (
    Model,
    models_in_order,
    names_files,
    row_lines,
    set_sequences,
    store_rows,
)


def restore(path: Path, *, passphrase: str, with_keys: bool) -> Manifest:
    """Put back everything, in one transaction. Raises `BackupRefused`; the database is as empty as
    before then. Files that were put back by then stay, and are no obstacle to trying again.
    """
    manifest = check_archive(path, passphrase)
    _refuse_other_migrations(manifest)
    if with_keys and not any(name.startswith(keys.FOLDER) for name in manifest.parts):
        raise BackupRefused("the archive holds no keys")
    try:
        with transaction.atomic(durable=True):
            _refuse_unless_empty()
            _put_back(path, passphrase, manifest, with_keys=with_keys)
            set_sequences()
    except Error as fault:
        raise BackupRefused(f"this database does not take the rows: {fault}") from fault
    return manifest


def _refuse_other_migrations(manifest: Manifest) -> None:
    here, there = set(applied_migrations()), set(manifest.migrations)
    if lacking := sorted(there - here):
        raise BackupRefused(
            "the archive is of a database further on; run manage.py migrate with the release that "
            f"made it. This database lacks {', '.join(lacking)}"
        )
    if ahead := sorted(here - there):
        raise BackupRefused(
            "the archive is of an earlier release; restore it with that one and migrate then. "
            f"This database is ahead by {', '.join(ahead)}"
        )


def _refuse_unless_empty() -> None:
    for model in models_in_order():
        if model._base_manager.exists():
            name = model._meta.verbose_name_plural
            raise BackupRefused(f"this database is in use: it holds {name}")


def _put_back(path: Path, passphrase: str, manifest: Manifest, *, with_keys: bool) -> None:
    """Rows stand before files in an archive, so that which files are named is known by then."""
    models = {f"{ROWS}{model._meta.label_lower}.jsonl": model for model in models_in_order()}
    with parts_of(path, passphrase) as parts:
        for name, content in parts:
            if name in models:
                _put_rows(models.pop(name), content, manifest)
                named = {} if models else _named_files()
            elif name.startswith(FILES):
                _put_file(named, name.removeprefix(FILES), content, manifest.parts[name])
            elif name.startswith(keys.FOLDER) and with_keys:
                keys.put_key(name, content.read())
    if models:
        raise BackupRefused(f"the archive lacks {', '.join(sorted(models))}")


def _put_rows(model: Model, content: IO[bytes], manifest: Manifest) -> None:
    label = model._meta.label_lower
    if store_rows(model, content) != manifest.counts[label]:
        raise BackupRefused(f"the archive counts other rows of {label} than it holds")


def _named_files() -> dict[str, Storage]:
    """Every file that a row names, with where it is kept."""
    files: dict[str, Storage] = {}
    for model in filter(names_files, models_in_order()):
        for _, named in row_lines(model):
            files |= named
    return files


def _put_file(named: dict[str, Storage], name: str, content: IO[bytes], part: Part) -> None:
    """Nothing but what a row names, and nothing over another file."""
    if name not in named:
        raise BackupRefused(f"no row names the file {name}")
    storage = named[name]
    if storage.exists(name):
        with storage.open(name) as there:
            if part_of(there) != part:
                raise BackupRefused(f"another file is in the place of {name}")
    elif storage.save(name, ContentFile(content.read())) != name:
        raise BackupRefused(f"the file {name} cannot be kept under its name")
