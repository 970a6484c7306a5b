"""What records are at a moment, as the journal keeps it and as it is compared with the journal.

Both read what the database and the storage hold, by the same code: what a service has in memory may
be written in another way than it is stored.
"""

import hashlib
from collections.abc import Iterable, Iterator
from datetime import UTC, date, datetime
from functools import cache
from typing import Any, cast
from uuid import UUID

from django.apps import apps
from django.core.files.storage import Storage
from django.db import models

from jobs.frozen import stored_values
from jobs.keyed_digests import keyed_digest
from jobs.models import Journalled

State = dict[str, Any]
"""Columns, relations and parts of a record by their names, as plain JSON."""
SEAL_KEY = "seal_key"
CREATION_DIGEST = "creation_digest"


@cache
def journalled_models() -> tuple[type[Journalled], ...]:
    """Every model whose rows have entries of their own; what is part of a record has none."""
    models_of_all = [model for model in apps.get_models() if issubclass(model, Journalled)]
    parts = {part.related_model for model in models_of_all for part in parts_of(model)}
    return tuple(model for model in models_of_all if model not in parts)


@cache
def parts_of(model: type[Journalled]) -> tuple[models.ManyToOneRel, ...]:
    """The relations to the rows that are written with a record."""
    return tuple(cast(models.ManyToOneRel, model._meta.get_field(name)) for name in model.parts)


def part_columns(part: models.ManyToOneRel) -> list[Any]:
    """What of a part is kept: its record is named by the entry, its place by the order of parts."""
    fields = part.related_model._meta.concrete_fields
    return [f for f in fields if f != part.field and not isinstance(f, models.AutoField)]


def kept_columns(model: type[Journalled]) -> list[Any]:
    left_out = {SEAL_KEY, *model.not_journalled}
    return [field for field in model._meta.concrete_fields if field.name not in left_out]


@cache
def sealed_columns(model: type[Journalled]) -> frozenset[str]:
    """The digest of the body that made a record was made of what is sealed, without a key: a guess
    could be tried at it."""
    if not model.sealed_fields:
        return frozenset()
    columns = {field.name for field in kept_columns(model)}
    return frozenset(columns.intersection((*model.sealed_fields, CREATION_DIGEST)))


def state_of(record: Journalled) -> State:
    """The state of a stored record."""
    rows = type(record)._base_manager.filter(pk=record.pk)
    return states(rows, files=True)[str(record.pk)]


def states(rows: models.QuerySet[Any], *, files: bool) -> dict[str, State]:
    """The states of these records, which are few enough for memory, by key.

    Of a file its name and SHA-256 are kept; without `files` the name alone is read.
    """
    by_key = dict(_columns(rows, files=files))
    model: type[Journalled] = rows.model
    for relation in model._meta.many_to_many:
        _add_relation(by_key, relation)
    for part in parts_of(model):
        _add_parts(by_key, part, model.parts[part.name])
    return by_key


def _columns(rows: models.QuerySet[Any], *, files: bool) -> Iterator[tuple[str, State]]:
    model: type[Journalled] = rows.model
    fields = kept_columns(model)
    sealed = sealed_columns(model)
    storages = {f.name: f.storage for f in fields if isinstance(f, models.FileField)}
    names = [field.name for field in fields] + ([SEAL_KEY] if sealed else [])
    for row in stored_values(rows, *names, are_few=True):
        seal_key = row.pop(SEAL_KEY, "")
        state = {name: _plain(value) for name, value in row.items()}
        for name in sealed:
            state[name] = keyed_digest(seal_key, name, state[name])
        for name, storage in storages.items():
            state[name] = _file(storage, state[name], read=files)
        yield state[model._meta.pk.name], state


def _add_relation(by_key: dict[str, State], relation: Any) -> None:
    source, target = relation.m2m_column_name(), relation.m2m_reverse_name()
    for state in by_key.values():
        state[relation.name] = []
    rows = relation.remote_field.through._base_manager.filter(**{f"{source}__in": list(by_key)})
    for owner, other in rows.values_list(source, target):
        by_key[str(owner)][relation.name].append(str(other))
    for state in by_key.values():
        state[relation.name].sort()


def _add_parts(by_key: dict[str, State], part: models.ManyToOneRel, order: str) -> None:
    owner = part.field.name
    for state in by_key.values():
        state[part.name] = []
    rows = part.related_model._base_manager.filter(**{f"{owner}__in": list(by_key)})
    columns = [field.name for field in part_columns(part)]
    for row in stored_values(rows.order_by(order), owner, *columns, are_few=True):
        key = str(row.pop(owner))
        by_key[key][part.name].append({name: _plain(value) for name, value in row.items()})


def _plain(value: Any) -> Any:
    if isinstance(value, datetime):
        return value.astimezone(UTC).isoformat()
    if isinstance(value, date):
        return value.isoformat()
    return str(value) if isinstance(value, UUID) else value


def _file(storage: Storage, name: str, *, read: bool) -> dict[str, Any] | None:
    if not name:
        return None
    return {"name": name, "sha256": sha256_of_file(storage, name)} if read else {"name": name}


def sha256_of_file(storage: Storage, name: str) -> str | None:
    """As hexadecimal; None where the file is gone."""
    try:
        with storage.open(name, "rb") as content:
            return hashlib.file_digest(cast(Any, content), "sha256").hexdigest()
    except FileNotFoundError:
        return None


def names_of(model: type[Journalled], columns: Iterable[str]) -> list[str]:
    """Columns by the names that a state has them under, such as `visit` for `visit_id`."""
    field = model._meta.get_field
    return sorted({field(column).name for column in columns})
