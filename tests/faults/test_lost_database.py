"""The connection to the database is cut in the middle of a service's transaction."""

from collections.abc import Iterator
from contextlib import contextmanager
from uuid import uuid4

import psycopg
import pytest
from django.db import close_old_connections, connection
from django.test import Client

from jobs.models import Customer, JournalEntry
from jobs.services.journal_check import find_flaws
from tests import factories
from tests.api import signed_in

pytestmark = [
    pytest.mark.django_db(transaction=True),
    pytest.mark.skipif(
        connection.vendor == "sqlite", reason="needs PostgreSQL: set DATABASE_URL to one"
    ),
]
# Moments of storing a record: its row, the head of its chain, the entry.
MOMENTS = [
    'INSERT INTO "jobs_customer"',
    'UPDATE "jobs_journalstream"',
    'INSERT INTO "jobs_journalentry"',
]


@contextmanager
def cut_at(moment: str) -> Iterator[list[str]]:
    """Ends our connection from another one as soon as a statement begins so."""
    cut: list[str] = []

    def watch(execute, sql, params, many, context):
        if sql.startswith(moment) and not cut:
            cut.append(sql)
            end_from_outside(context["connection"])
        return execute(sql, params, many, context)

    with connection.execute_wrapper(watch):
        yield cut


def end_from_outside(ours) -> None:
    settings = ours.settings_dict
    with psycopg.connect(
        host=settings["HOST"],
        port=settings["PORT"] or 5432,
        user=settings["USER"],
        password=settings["PASSWORD"],
        dbname=settings["NAME"],
        autocommit=True,
    ) as other:
        other.execute("SELECT pg_terminate_backend(%s, 5000)", [ours.connection.info.backend_pid])


@pytest.fixture
def office():
    return factories.person("office")


@pytest.mark.parametrize("moment", MOMENTS)
def test_all_is_stored_or_nothing_and_the_next_request_works(office, moment):
    client, entries = signed_in(office), JournalEntry.objects.count()
    body = {"id": str(uuid4()), "name": "Oona Quill", "email": "oona@example.org"}
    with cut_at(moment) as cut:
        refused = client.post("/api/v1/customers/", body)
    assert cut
    assert refused.status_code == 503
    assert refused["Content-Type"] == "application/problem+json"
    assert refused["Retry-After"] == "10"
    assert "Nothing was saved" in refused.json()["detail"]
    # As every request begins and ends, which the client of tests leaves out.
    close_old_connections()
    assert not Customer.objects.exists()
    assert JournalEntry.objects.count() == entries
    assert client.post("/api/v1/customers/", body).status_code == 201
    assert list(find_flaws()) == []


def test_a_page_says_that_nothing_was_stored(office):
    client = Client(raise_request_exception=False)
    client.force_login(office)
    typed = {"id": str(uuid4()), "name": "Oona Quill", "email": "oona@example.org"}
    with cut_at(MOMENTS[0]) as cut:
        refused = client.post("/customers/new/", typed)
    assert cut
    assert refused.status_code == 503
    assert "Nothing was saved" in refused.content.decode()
    close_old_connections()
    assert not Customer.objects.exists()
    assert client.post("/customers/new/", typed).status_code == 302
