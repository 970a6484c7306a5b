"""The statements that something sends to the database."""

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from django.db import connection

Statement = tuple[str, Any]


@contextmanager
def noted() -> Iterator[list[Statement]]:
    statements: list[Statement] = []

    def note(execute: Any, sql: str, params: Any, many: bool, context: Any) -> Any:
        statements.append((sql, params))
        return execute(sql, params, many, context)

    with connection.execute_wrapper(note):
        yield statements
