"""Giving a role of PostgreSQL the rights of the service, and no more."""

from django.db import connection, transaction
from django.utils.translation import gettext as _
from psycopg import sql

from jobs.database_rights import models_with_tables, rights_of, role_of_this_process, too_much
from jobs.errors import Conflict

MIGRATIONS = "django_migrations"


@transaction.atomic
def grant_rights(*, role: str, password: str = "") -> int:
    """Take from a role all that it may in this schema, and give it what the models say that the
    services do; how many tables are append only for it. To be run by the owner of the tables.

    With a `password` the role is made where there is none, and signs in with it from now on. All
    is one transaction: processes that work meanwhile never lack a right. Raises `Conflict` where
    this is not the owner, where there is no such role, or where it may change append-only tables
    all the same.
    """
    if not role_of_this_process():
        raise Conflict(_("SQLite knows no roles: set DATABASE_URL to PostgreSQL"))
    if not too_much(role_of_this_process()):
        raise Conflict(
            _("run this as the owner of the tables, who made them with manage.py migrate")
        )
    if role == role_of_this_process():
        raise Conflict(_("{role} runs this; name the role of the service").format(role=role))
    if password:
        _let_sign_in(role, password)
    if not _exists(role):
        message = _("there is no role {role}: CREATE ROLE it with LOGIN first, or give a password")
        raise Conflict(message.format(role=role))
    _begin_with_nothing(role)
    append_only = _give(role)
    if beyond := too_much(role):
        message = _("{role} may still change {tables}: it owns them, or is a member of who does")
        raise Conflict(message.format(role=role, tables=", ".join(beyond)))
    return append_only


def _exists(role: str) -> bool:
    with connection.cursor() as cursor:
        cursor.execute("SELECT 1 FROM pg_roles WHERE rolname = %s", [role])
        return cursor.fetchone() is not None


def _let_sign_in(role: str, password: str) -> None:
    """The statement holds the password only as the server stores it, whatever logs it."""
    connection.ensure_connection()
    libpq = connection.connection.pgconn
    stored = libpq.encrypt_password(password.encode(), role.encode(), b"scram-sha-256").decode()
    verb = "ALTER" if _exists(role) else "CREATE"
    _execute(f"{verb} ROLE {{}} LOGIN PASSWORD {{}}", sql.Identifier(role), sql.Literal(stored))


def _begin_with_nothing(role: str) -> None:
    """Rights to columns go with those to their table."""
    who = sql.Identifier(role)
    # Whoever makes tables owns them; until PostgreSQL 15 everybody might.
    _execute("REVOKE CREATE ON SCHEMA public FROM PUBLIC")
    _execute("REVOKE ALL ON SCHEMA public FROM {}", who)
    _execute("REVOKE ALL ON ALL TABLES IN SCHEMA public FROM {}", who)
    _execute("REVOKE ALL ON ALL SEQUENCES IN SCHEMA public FROM {}", who)


def _give(role: str) -> int:
    """How many tables are append only."""
    who = sql.Identifier(role)
    _execute("GRANT USAGE ON SCHEMA public TO {}", who)
    # To number new rows, not to begin again with 1.
    _execute("GRANT USAGE, SELECT ON ALL SEQUENCES IN SCHEMA public TO {}", who)
    # `/ready/` reads it.
    _execute("GRANT SELECT ON {} TO {}", sql.Identifier(MIGRATIONS), who)
    every = [rights_of(model) for model in models_with_tables()]
    for rights in every:
        granted = sql.SQL(", ".join(rights.granted))
        _execute("GRANT {} ON {} TO {}", granted, sql.Identifier(rights.table), who)
    return sum(rights.is_append_only for rights in every)


def _execute(statement: str, *parts: sql.Composable) -> None:
    with connection.cursor() as cursor:
        cursor.execute(sql.SQL(statement).format(*parts))
