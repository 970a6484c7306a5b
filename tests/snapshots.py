"""What tests begin with, built through the services once a process and laid in as rows after that.

A function marked `@built_once` is a step from one state of the database to another. The first time
it is called in a state, it runs, and the rows and files that it added or changed are kept; whenever
a test gets into the same state by the same steps and calls it with the same arguments, those are
written instead, with the same keys. Any other write makes the state unknown, and from there on the
test builds everything through the services, as it does while time is travelled in or something of
the code is replaced. A step may be made of steps.

Numbered rows keep the numbers they had. No sequence gives them out again: one of PostgreSQL never
goes back, and SQLite goes on from the highest number there is.
"""

import re
import threading
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field
from functools import wraps
from pathlib import Path
from typing import Any, ParamSpec, TypeVar

import time_machine
from django.apps import apps
from django.conf import settings
from django.db import connection, models, transaction
from django.db.backends.signals import connection_created

from jobs.models import JournalStream

P = ParamSpec("P")
R = TypeVar("R")
Row = tuple[Any, ...]

WRITES = re.compile(r'\s*(?:INSERT(?: OR \w+)? INTO|UPDATE|DELETE FROM)\s+"?(\w+)', re.IGNORECASE)
READS = re.compile(
    r"\s*(?:SELECT|BEGIN|COMMIT|SAVEPOINT|RELEASE|PRAGMA|SET|SHOW|EXPLAIN)\b", re.IGNORECASE
)
# Signing in changes nothing that a step builds upon.
OF_SIGN_INS = frozenset({"jobs_token", "django_session"})
SIGNED_IN = 'UPDATE "jobs_person" SET "last_login"'


@dataclass
class Table:
    """Rows that a step changed in one table; the key of a row that it removed has none."""

    name: str
    columns: list[str]
    rows: dict[Any, Row | None]
    known_before: list[Any]


@dataclass
class State:
    """What the database holds after `before` and what this step changed."""

    before: "State | None" = None
    tables: list[Table] = field(default_factory=list)
    files: dict[str, bytes] = field(default_factory=dict)
    returned: tuple[type[models.Model], Any] | None = None
    steps: dict[Any, "State"] = field(default_factory=dict)

    def rows(self, table: str) -> dict[Any, Row]:
        """The rows of a table in this state by their keys."""
        rows = self.before.rows(table) if self.before else {}
        for changed in self.tables:
            if changed.name == table:
                rows |= changed.rows
        return {key: row for key, row in rows.items() if row is not None}


class Unkeyable(Exception):
    """An argument by which a step cannot be known again."""


class Snapshots:
    """Which state the database of the running test is in."""

    def __init__(self) -> None:
        # Inside a transaction and outside of one, a service does not do the same.
        self.empty = {True: State(), False: State()}
        self.state: State | None = None
        self.begun = self.open = self.laying = False
        self.building: list[set[str]] = []

    @contextmanager
    def of_a_test(self, *, usable: bool) -> Iterator[None]:
        """While a test runs; none of another's is used where it is not `usable`."""
        self.state, self.begun, self.open, self.building = None, not usable, True, []
        try:
            yield
        finally:
            self.open = False

    def perform(self, name: str, build: Callable[[], Any], given: Any) -> Any:
        if not self.open or threading.current_thread() is not threading.main_thread():
            return build()
        if not self.begun:
            self._begin()
        if self.state is None or time_machine.escape_hatch.is_travelling():
            return build()
        try:
            step = (name, _key(given))
        except Unkeyable:
            return build()
        if known := self.state.steps.get(step):
            self._lay(known)
        else:
            known = self._record(build, self.state, step)
        self.state = known
        return known.returned and known.returned[0]._base_manager.get(pk=known.returned[1])

    def note(self, execute: Callable, sql: str, params: Any, many: bool, context: Any) -> Any:
        """Sees every statement, whichever thread it comes from."""
        if self.open and not self.laying and not READS.match(sql):
            self._note_write(sql)
        return execute(sql, params, many, context)

    def _note_write(self, sql: str) -> None:
        written = WRITES.match(sql)
        table = written[1] if written else ""
        if table in OF_SIGN_INS or sql.startswith(SIGNED_IN):
            return
        for touched in self.building:
            touched.add(table)
        self.begun, self.state = True, None

    def _begin(self) -> None:
        self.begun = True
        if not JournalStream.objects.exists():
            self.state = self.empty[connection.in_atomic_block]

    def _record(self, build: Callable[[], Any], before: State, step: Any) -> State:
        there = set(_files())
        touched: set[str] = set()
        self.building.append(touched)
        try:
            returned = build()
        except BaseException:
            self.state = None
            raise
        finally:
            self.building.pop()
        added = {name: path.read_bytes() for name, path in _files().items() if name not in there}
        after = State(before, _changes(before, touched - {""}), added)
        if returned is not None:
            after.returned = type(returned), returned.pk
        before.steps[step] = after
        return after

    def _lay(self, state: State) -> None:
        for touched in self.building:
            touched.update(table.name for table in state.tables)
        self.laying = True
        try:
            with transaction.atomic(savepoint=False), connection.cursor() as cursor:
                for table in state.tables:
                    _write(cursor, table)
        finally:
            self.laying = False
        for name, content in state.files.items():
            path = Path(settings.MEDIA_ROOT) / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(content)


snapshots = Snapshots()


def built_once(build: Callable[P, R]) -> Callable[P, R]:
    """Mark a step; it returns a record that is stored, or nothing."""

    @wraps(build)
    def step(*args: P.args, **named: P.kwargs) -> R:
        name = f"{build.__module__}.{build.__qualname__}"
        return snapshots.perform(name, lambda: build(*args, **named), (args, named))

    return step


def _watch(connection: Any, **_: Any) -> None:
    if snapshots.note not in connection.execute_wrappers:
        connection.execute_wrappers.append(snapshots.note)


connection_created.connect(_watch)


def _changes(before: State, touched: set[str]) -> list[Table]:
    keys = {
        model._meta.db_table: model._meta.pk.column
        for model in apps.get_models(include_auto_created=True)
    }
    return [_change(before, name, keys[name]) for name in sorted(touched)]


def _change(before: State, name: str, key: str) -> Table:
    known = before.rows(name)
    with connection.cursor() as cursor:
        cursor.execute(f'SELECT * FROM "{name}"')
        columns = [column[0] for column in cursor.description]
        at = columns.index(key)
        now = {row[at]: tuple(row) for row in cursor.fetchall()}
    rows: dict[Any, Row | None] = {k: row for k, row in now.items() if known.get(k) != row}
    rows |= {k: None for k in known if k not in now}
    return Table(name, columns, rows, [(k,) for k in rows if k in known])


def _write(cursor: Any, table: Table) -> None:
    key = next(
        model._meta.pk.column
        for model in apps.get_models(include_auto_created=True)
        if model._meta.db_table == table.name
    )
    if table.known_before:
        cursor.executemany(f'DELETE FROM "{table.name}" WHERE "{key}" = %s', table.known_before)
    if rows := [row for row in table.rows.values() if row is not None]:
        names = ", ".join(f'"{column}"' for column in table.columns)
        places = ", ".join(["%s"] * len(table.columns))
        cursor.executemany(f'INSERT INTO "{table.name}" ({names}) VALUES ({places})', rows)


def _files() -> dict[str, Path]:
    root = Path(settings.MEDIA_ROOT)
    return {str(path.relative_to(root)): path for path in root.rglob("*") if path.is_file()}


def _key(given: Any) -> Any:
    if isinstance(given, models.Model):
        return given._meta.label, given.pk
    if isinstance(given, Mapping):
        return tuple((name, _key(value)) for name, value in sorted(given.items()))
    if isinstance(given, list | tuple):
        return tuple(_key(value) for value in given)
    try:
        hash(given)
    except TypeError:
        raise Unkeyable from None
    return type(given), given
