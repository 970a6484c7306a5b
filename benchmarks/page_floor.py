"""One page, opened as a browser does, and what it cannot do without: its queries and templates.

A query's time is all that lies between asking a queryset and having its rows; a template's is its
drawing, with the queries that it asks by itself. What is left over is what the page's own code
adds: forms, words, drawings, arithmetic, middleware.
"""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from time import process_time
from typing import Any
from unittest.mock import patch

from django.db import connection
from django.db.models.query import QuerySet
from django.db.models.sql.compiler import SQLCompiler
from django.template.base import Template
from django.test import Client

from jobs.models import Person

MILLISECONDS = 1000


class PageVisit:
    """Milliseconds of the processor: `page` the whole, `floor` its queries and templates."""

    def __init__(self, person: Person | None, address: str) -> None:
        self.client, self.address = Client(), address
        if person:
            self.client.force_login(person)
        self.queries = 0
        self.status = self.client.get(self.address).status_code
        with connection.execute_wrapper(self._count):
            self.client.get(self.address)

    def measure(self) -> tuple[float, float]:
        """`page` and `floor` of one opening."""
        spent = Spent()
        with spent.counted():
            begun = process_time()
            self.client.get(self.address)
            page = process_time() - begun
        return page * MILLISECONDS, spent.seconds * MILLISECONDS

    def _count(
        self, execute: Callable[..., Any], sql: str, params: Any, many: bool, context: Any
    ) -> Any:
        self.queries += 1
        return execute(sql, params, many, context)


class Spent:
    """Time spent in queries and templates; the one inside the other is counted once."""

    def __init__(self) -> None:
        self.seconds = 0.0
        self._inside = False

    @contextmanager
    def counted(self) -> Iterator[None]:
        with (
            patch.object(QuerySet, "_fetch_all", self._counting(QuerySet._fetch_all)),
            patch.object(SQLCompiler, "execute_sql", self._counting(SQLCompiler.execute_sql)),
            patch.object(Template, "render", self._counting(Template.render)),
        ):
            yield

    def _counting(self, work: Callable[..., Any]) -> Callable[..., Any]:
        def counted(*args: Any, **kwargs: Any) -> Any:
            if self._inside:
                return work(*args, **kwargs)
            self._inside, begun = True, process_time()
            try:
                return work(*args, **kwargs)
            finally:
                self.seconds += process_time() - begun
                self._inside = False

        return counted
