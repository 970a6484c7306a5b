"""The queue on disk. Every change of it is one transaction, so that a battery may die at any time.

An operation is `queued` until the service has answered it for good: `done`, `set_aside`, or a
`conflict` until a person has `decided` it. A queued one may carry the problem for which it was
refused. From the moment before it is sent until an answer is heard it is in doubt: it may be done
already.
"""

import json
import sqlite3
from collections.abc import Collection, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from fixtures_demo.queue.dependencies import before

TABLES = """
CREATE TABLE IF NOT EXISTS owner (name TEXT NOT NULL);
CREATE TABLE IF NOT EXISTS operation (
    number INTEGER PRIMARY KEY AUTOINCREMENT,
    id TEXT NOT NULL UNIQUE,
    kind TEXT NOT NULL,
    record TEXT NOT NULL,
    base_version INTEGER,
    made_at TEXT NOT NULL,
    after TEXT,
    also_after TEXT NOT NULL,
    body TEXT NOT NULL,
    state TEXT NOT NULL DEFAULT 'queued'
        CHECK (state IN ('queued', 'done', 'conflict', 'decided', 'set_aside')),
    set_aside_because TEXT NOT NULL DEFAULT '',
    in_doubt INTEGER NOT NULL DEFAULT 0,
    answer TEXT
);
"""
SENT = ("id", "kind", "record", "base_version", "made_at", "after", "also_after", "body")
AS_JSON = ("also_after", "body")
STATE_OF_RESULT = {
    "applied": "done",
    "already_applied": "done",
    "conflict": "conflict",
    "set_aside": "set_aside",
}


class InDoubt(Exception):
    """An operation was sent and no answer heard. Send again; any repeat is harmless."""


@dataclass(frozen=True)
class Kept:
    """An operation as it is sent, what it has come to, and the last that was heard of it."""

    operation: dict[str, Any]
    state: str
    in_doubt: bool
    answer: dict[str, Any] | None

    @property
    def is_refused(self) -> bool:
        return self.state == "queued" and bool(self.answer)


class Store:
    """The queue of one person, in a file of its own."""

    def __init__(self, path: Path, person: str) -> None:
        self._database = sqlite3.connect(path, isolation_level=None, timeout=30)
        self._database.row_factory = sqlite3.Row
        self._database.executescript(TABLES)
        with self._transaction() as database:
            owner = database.execute("SELECT name FROM owner").fetchone()
            if owner is None:
                database.execute("INSERT INTO owner VALUES (?)", (person,))
            elif owner["name"] != person:
                raise PermissionError(f"this queue is {owner['name']}'s; nobody else sends it")

    def append(
        self, operation: dict[str, Any], *, follows: Collection[str] = (), decides: str = ""
    ) -> dict[str, Any]:
        """Put an operation at the end, after those it depends on (`before`); returns it as
        it is sent.

        With it the conflict of the operation `decides` is dealt with.
        """
        with self._transaction() as database:
            queued = [kept.operation for kept in self.all("queued")]
            *others, newest = [None, *before(operation, queued, follows)]
            whole = operation | {"after": newest, "also_after": others[1:]}
            columns = [json.dumps(whole[name]) if name in AS_JSON else whole[name] for name in SENT]
            places = ", ".join("?" * len(SENT))
            database.execute(
                f"INSERT INTO operation ({', '.join(SENT)}) VALUES ({places})", columns
            )
            self._decide(decides)
        return whole

    def all(self, *states: str) -> list[Kept]:
        """Operations in these states, or all, in the order in which they were done."""
        rows = self._database.execute("SELECT * FROM operation ORDER BY number").fetchall()
        return [_kept(row) for row in rows if not states or row["state"] in states]

    def one(self, identifier: str) -> Kept:
        rows = self._database.execute("SELECT * FROM operation WHERE id = ?", (identifier,))
        if (row := rows.fetchone()) is None:
            raise KeyError(identifier)
        return _kept(row)

    def note_sending(self, identifiers: list[str]) -> None:
        with self._transaction() as database:
            for identifier in identifiers:
                database.execute("UPDATE operation SET in_doubt = 1 WHERE id = ?", (identifier,))

    def hear(self, results: list[dict[str, Any]]) -> None:
        """Keep the service's answers. One that only waits for another has no problem any more."""
        with self._transaction() as database:
            for result in results:
                state = STATE_OF_RESULT.get(result["result"], "queued")
                answer = None if result["result"] == "waiting" else json.dumps(result)
                database.execute(
                    "UPDATE operation SET state = ?, answer = ?, in_doubt = 0"
                    " WHERE id = ? AND state = 'queued'",
                    (state, answer, result["id"]),
                )

    def rewrite(self, identifier: str, body: dict[str, Any]) -> None:
        """Give a queued operation another body. Raises `InDoubt` where it may be done already."""
        with self._transaction() as database:
            self._check_certain(identifier)
            database.execute(
                "UPDATE operation SET body = ?, answer = NULL, set_aside_because = '' WHERE id = ?",
                (json.dumps(body), identifier),
            )

    def set_aside(self, identifier: str, reason: str) -> None:
        """Keep a queued operation as it is: it is sent to be set aside, and stays here."""
        with self._transaction() as database:
            database.execute(
                "UPDATE operation SET set_aside_because = ?, answer = NULL"
                " WHERE id = ? AND state = 'queued'",
                (reason, identifier),
            )

    def decide(self, identifier: str) -> None:
        """A person has dealt with the conflict."""
        with self._transaction():
            self._decide(identifier)

    def _decide(self, identifier: str) -> None:
        self._database.execute(
            "UPDATE operation SET state = 'decided' WHERE id = ? AND state = 'conflict'",
            (identifier,),
        )

    def _check_certain(self, identifier: str) -> None:
        kept = self.one(identifier)
        if kept.state == "queued" and kept.in_doubt:
            raise InDoubt(f"{kept.operation['kind']} {identifier}")

    @contextmanager
    def _transaction(self) -> Iterator[sqlite3.Connection]:
        self._database.execute("BEGIN IMMEDIATE")
        try:
            yield self._database
        except BaseException:
            self._database.execute("ROLLBACK")
            raise
        self._database.execute("COMMIT")


def _kept(row: sqlite3.Row) -> Kept:
    operation = {name: row[name] for name in SENT}
    operation |= {name: json.loads(row[name]) for name in AS_JSON}
    if row["set_aside_because"]:
        operation["set_aside_because"] = row["set_aside_because"]
    answer = json.loads(row["answer"]) if row["answer"] else None
    return Kept(operation, row["state"], bool(row["in_doubt"]), answer)
