"""Rows as JSON lines, told apart from the database that they came from."""

import json
from collections.abc import Iterable, Iterator
from datetime import date, datetime
from graphlib import TopologicalSorter
from itertools import islice
from typing import Any
from uuid import UUID

from django.apps import apps
from django.contrib.auth.models import Permission
from django.contrib.contenttypes.models import ContentType
from django.contrib.sessions.models import Session
from django.core.files.storage import Storage
from django.core.management.color import no_style
from django.db import connection, models

from jobs.frozen import stored_values

Model = type[models.Model]

# The migrations make these, under numbers of their own: rows that refer to them name them instead.
MADE_BY_MIGRATIONS: tuple[Model, ...] = (ContentType, Permission)
# Who was signed in; without the key that signs cookies nobody would be any more.
TRANSIENT: tuple[Model, ...] = (Session,)
STORED_AT_ONCE = 500


def models_in_order() -> list[Model]:
    """Every model whose rows an archive holds, each after those that it has to refer to. What a row
    may refer to can come later: the database looks at references when all rows are in."""
    kept = [
        model
        for model in apps.get_models(include_auto_created=True)
        if model._meta.managed and not model._meta.proxy
        if model not in (*MADE_BY_MIGRATIONS, *TRANSIENT)
    ]
    refers_to = TopologicalSorter({model: _referred(model) & set(kept) for model in kept})
    return list(refers_to.static_order())


def row_lines(model: Model) -> Iterator[tuple[bytes, dict[str, Storage]]]:
    """Every row as one line of JSON, and the files that it names with where they are kept."""
    fields: Any = model._meta.concrete_fields
    names = {f.attname: _names_of(f.related_model) for f in fields if _is_named(f)}
    files = [field for field in fields if isinstance(field, models.FileField)]
    rows = model._base_manager.order_by("pk")
    for values in stored_values(rows, *(field.attname for field in fields)):
        row = {column: plain(value) for column, value in values.items()}
        row |= {column: name_of.get(row[column]) for column, name_of in names.items()}
        line = json.dumps(row, ensure_ascii=False, allow_nan=False, separators=(",", ":"))
        named = {row[file.attname]: file.storage for file in files if row[file.attname]}
        yield line.encode() + b"\n", named


def store_rows(model: Model, lines: Iterable[bytes]) -> int:
    """Insert rows exactly as they were, with their times and numbers; returns how many.

    Past the models' own saving, which would put today's time into `updated_at`.
    """
    fields: Any = model._meta.concrete_fields
    quoted = connection.ops.quote_name
    columns = ", ".join(quoted(field.column) for field in fields)
    places = ", ".join(["%s"] * len(fields))
    # Names of our own models and columns; the values go beside the statement.
    insert = f"INSERT INTO {quoted(model._meta.db_table)} ({columns}) VALUES ({places})"  # noqa: S608
    numbers = {f.attname: _numbers_of(f.related_model) for f in fields if _is_named(f)}
    rows, count = (_columns(fields, numbers, json.loads(line)) for line in lines), 0
    with connection.cursor() as cursor:
        while some := list(islice(rows, STORED_AT_ONCE)):
            cursor.executemany(insert, some)
            count += len(some)
    return count


def set_sequences() -> None:
    """Let the next number of every table follow the largest one in it."""
    with connection.cursor() as cursor:
        for statement in connection.ops.sequence_reset_sql(no_style(), models_in_order()):
            cursor.execute(statement)


def names_files(model: Model) -> bool:
    return any(isinstance(field, models.FileField) for field in model._meta.concrete_fields)


def plain(value: Any) -> Any:
    """A stored value as JSON; times to the microsecond, which the journal is held against."""
    if isinstance(value, datetime | date):
        return value.isoformat()
    return str(value) if isinstance(value, UUID) else value


def _referred(model: Model) -> set[Any]:
    fields = model._meta.concrete_fields
    return {f.related_model for f in fields if f.is_relation and not f.null} - {model}


def _columns(
    fields: Iterable[Any], numbers: dict[str, dict[tuple[str, ...], Any]], row: dict[str, Any]
) -> list[Any]:
    for column, number_of in numbers.items():
        row[column] = number_of[tuple(row[column])] if row[column] else None
    return [
        field.get_db_prep_save(field.to_python(row[field.attname]), connection) for field in fields
    ]


def _is_named(field: Any) -> bool:
    return field.related_model in MADE_BY_MIGRATIONS


def _names_of(model: Any) -> dict[Any, list[str]]:
    return {row.pk: list(row.natural_key()) for row in model._default_manager.all()}


def _numbers_of(model: Any) -> dict[tuple[str, ...], Any]:
    return {row.natural_key(): row.pk for row in model._default_manager.all()}
