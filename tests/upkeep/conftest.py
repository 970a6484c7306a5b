"""Jobs and papers as the tests of reports have them, and numbers that go on after a restore."""

from collections.abc import Iterator

import pytest
from django.db import connection

from tests.reports.conftest import _mail_folder, ask, document, issued, job, office

__all__ = ["_mail_folder", "ask", "document", "issued", "job", "office"]


@pytest.fixture(autouse=True)
def _numbers_go_on(django_db_setup, django_db_blocker) -> Iterator[None]:
    """A database that is emptied and restored counts from the start again; the rows that snapshots
    lay into later tests (`tests/snapshots.py`) have the numbers of before."""
    if connection.vendor != "postgresql":
        yield
        return
    with django_db_blocker.unblock():
        before = _last_numbers()
    yield
    with django_db_blocker.unblock(), connection.cursor() as cursor:
        for name, number in _last_numbers().items():
            cursor.execute("SELECT setval(%s, %s)", [name, max(number, before.get(name, 1))])


def _last_numbers() -> dict[str, int]:
    with connection.cursor() as cursor:
        cursor.execute(
            "SELECT quote_ident(sequencename), coalesce(last_value, 1) FROM pg_sequences "
            "WHERE schemaname = 'public'"
        )
        return dict(cursor.fetchall())
