"""Altering a database past the service, as somebody who can write to it would."""

import json
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import UTC, datetime, timedelta
from typing import Any
from uuid import uuid4

from django.db import connection, models, transaction

from jobs.services.states import journalled_models, kept_columns, part_columns, parts_of

Model = type[models.Model]
MOMENT = datetime(2026, 1, 5, tzinfo=UTC)


def columns_compared() -> Iterator[tuple[Model, Any]]:
    """Every column of every table that the journal holds, with those of parts and relations."""
    for model in journalled_models():
        for field in kept_columns(model):
            yield model, field
        for part in parts_of(model):
            for field in (part.field, *part_columns(part)):
                yield part.field.model, field
        for relation in model._meta.many_to_many:
            through: Any = relation.remote_field.through
            yield through, through._meta.get_field(relation.m2m_reverse_field_name())


def tables_compared() -> list[Model]:
    return list(dict.fromkeys(model for model, _ in columns_compared()))


@contextmanager
def undone() -> Iterator[None]:
    """What is written inside is taken back."""
    with transaction.atomic():
        yield
        transaction.set_rollback(True)


@contextmanager
def without_constraints(model: Model) -> Iterator[None]:
    """Whoever owns the tables can take the constraints away before, and put them back after."""
    with undone(), connection.cursor() as cursor:
        if connection.vendor == "sqlite":
            cursor.execute("PRAGMA ignore_check_constraints = ON")
        else:
            # A table with rows whose references wait to be looked at cannot be altered.
            cursor.execute("SET CONSTRAINTS ALL IMMEDIATE")
            cursor.execute("SET CONSTRAINTS ALL DEFERRED")
            for constraint in model._meta.constraints:
                if isinstance(constraint, models.CheckConstraint):
                    cursor.execute(
                        f'ALTER TABLE "{model._meta.db_table}" DROP CONSTRAINT "{constraint.name}"'
                    )
        try:
            yield
        finally:
            if connection.vendor == "sqlite":
                cursor.execute("PRAGMA ignore_check_constraints = OFF")


def alter(model: Model, field: Any) -> str:
    """Give one row another value in a column; returns the row's key as it was."""
    row = model._base_manager.order_by("pk").values("pk", stored=models.F(field.attname)).first()
    other = other_value(field, row["stored"])
    _execute(
        f'UPDATE "{model._meta.db_table}" SET "{field.column}" = %s '
        f'WHERE "{model._meta.pk.column}" = %s',
        [field.get_db_prep_save(other, connection), _key(model, row["pk"])],
    )
    return str(row["pk"])


def delete_row(model: Model) -> str:
    key = model._base_manager.order_by("pk").values_list("pk", flat=True).first()
    _execute(
        f'DELETE FROM "{model._meta.db_table}" WHERE "{model._meta.pk.column}" = %s',
        [_key(model, key)],
    )
    return str(key)


def _key(model: Model, key: Any) -> Any:
    return model._meta.pk.get_db_prep_save(key, connection)


def _execute(statement: str, values: list[Any]) -> None:
    with connection.cursor() as cursor:
        cursor.execute(statement, values)
        assert cursor.rowcount == 1


def other_value(field: Any, value: Any) -> Any:
    """Another value that the column takes; constraints may mind, which an attacker does not."""
    kind = field.target_field if isinstance(field, models.ForeignKey) else field
    return next(other(field, value) for types, other in OTHERS if isinstance(kind, types))


def _other_json(field: Any, value: Any) -> Any:
    return {"altered": json.loads(json.dumps(field.get_prep_value(value)))}


def _other_text(field: Any, value: Any) -> str:
    return f"{(value or '')[: field.max_length - 1 if field.max_length else None]}~"


OTHERS: list[tuple[Any, Callable[[Any, Any], Any]]] = [
    (models.JSONField, _other_json),
    (models.BooleanField, lambda field, value: not value),
    (models.UUIDField, lambda field, value: uuid4()),
    (models.DateTimeField, lambda field, value: (value or MOMENT) + timedelta(days=1)),
    (models.DateField, lambda field, value: (value or MOMENT.date()) + timedelta(days=1)),
    (models.IntegerField | models.FloatField, lambda field, value: (value or 0) + 1000),
    (models.CharField | models.TextField, _other_text),
    (models.FileField, _other_text),
]
