"""What the service may do with each table, where its role in the database does not own them.

A model says what its services change once a row is stored: `may_change`, the names of those fields,
or `EVERY_FIELD` and what `stays` all the same. Of no record it is ever changed who it is, when it
was made, of what, and under which key the journal keeps it. One whose rows are taken away says
`may_be_deleted`. What says nothing is append only: its rows are read and added, and no process of
the service can change or delete one. Tables of the framework (sessions, permissions, links between
two models) are changed freely.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from django.apps import apps
from django.db import connection, models

from jobs.models import EVERY_FIELD, Record

OURS = frozenset({"jobs", "surveys", "installs", "reports"})
# What `store_change` counts.
OF_EVERY_CHANGE = ("version", "updated_at")
OF_NO_CHANGE = ("id", "created_at", "creation_digest", "seal_key")


@dataclass(frozen=True, slots=True)
class TableRights:
    """Beside SELECT and INSERT: `columns` may be updated, or all of them; rows deleted or not.
    `is_append_only`: nothing that a service has stored is ever changed or deleted."""

    table: str
    columns: tuple[str, ...]
    every_column: bool
    delete: bool
    is_append_only: bool = False

    @property
    def granted(self) -> Iterator[str]:
        """As GRANT takes them, with every name quoted."""
        yield from ("SELECT", "INSERT")
        if self.every_column:
            yield "UPDATE"
        elif self.columns:
            yield f"UPDATE ({', '.join(map(connection.ops.quote_name, self.columns))})"
        if self.delete:
            yield "DELETE"


def models_with_tables() -> list[type[models.Model]]:
    every = apps.get_models(include_auto_created=True)
    return [model for model in every if model._meta.managed and not model._meta.proxy]


def rights_of(model: type[models.Model]) -> TableRights:
    """Raises `KeyError` where a model says that a field changes which it has not."""
    if model._meta.app_label not in OURS or model._meta.auto_created:
        return TableRights(model._meta.db_table, (), every_column=True, delete=True)
    names: tuple[str, ...] = getattr(model, "may_change", ())
    delete = bool(getattr(model, "may_be_deleted", False))
    append_only, every = not (names or delete), names == EVERY_FIELD
    column_of = {field.name: str(field.column) for field in model._meta.concrete_fields}
    if issubclass(model, Record) and names:
        stays = {*OF_NO_CHANGE, *getattr(model, "stays", ())}
        changed = set(column_of) - stays if every else {*names, *OF_EVERY_CHANGE}
        names, every = tuple(name for name in column_of if name in changed), False
    columns = () if every else tuple(column_of[name] for name in names)
    return TableRights(model._meta.db_table, columns, every, delete, append_only)


def too_much(role: str) -> list[str]:
    """Append-only tables that a role of PostgreSQL may change all the same: it owns them, is a
    member of the role that does, or was given more than `manage.py grant_rights`
    gives. None for no role."""
    if not role:
        return []
    every = map(rights_of, models_with_tables())
    tables = [rights.table for rights in every if rights.is_append_only]
    with connection.cursor() as cursor:
        # A member can become the role that it is a member of; an owner gives itself what it was
        # refused.
        cursor.execute(
            """
            SELECT relname FROM pg_class
            WHERE relkind = 'r' AND pg_table_is_visible(oid) AND relname = ANY(%(tables)s)
            AND (
                pg_has_role(%(role)s, relowner, 'MEMBER')
                OR has_table_privilege(%(role)s, oid, 'UPDATE, DELETE, TRUNCATE, TRIGGER')
            )
            ORDER BY relname
            """,
            {"role": role, "tables": tables},
        )
        return [row[0] for row in cursor.fetchall()]


def role_of_this_process() -> str:
    """Empty on SQLite, which knows no roles."""
    if connection.vendor != "postgresql":
        return ""
    with connection.cursor() as cursor:
        cursor.execute("SELECT current_user")
        name: str = cursor.fetchone()[0]
    return name


def may_change_what_is_frozen() -> bool:
    """Whether this process may erase, which goes through records that are append only."""
    role = role_of_this_process()
    return not role or bool(too_much(role))
