"""Several requests at once, each with a connection of its own, as a phone makes them that gives up
waiting too soon; SQLite lets in one writer at a time."""

from collections import Counter
from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor
from datetime import timedelta
from typing import Any

import pytest
from django.db import connection
from rest_framework.test import APIClient

from installs.models import Defect, SyncOperation
from jobs.models import Visit
from jobs.services.journal_check import find_flaws
from tests.api import signed_in
from tests.installs.queue_session import Queue, made
from tests.pictures import picture, upload

pytestmark = [
    pytest.mark.django_db(transaction=True),
    pytest.mark.skipif(
        connection.vendor == "sqlite", reason="needs PostgreSQL: set DATABASE_URL to one"
    ),
]
AT_ONCE = 6


@pytest.fixture
def queue(installation):
    queue = Queue()
    for number in range(AT_ONCE):
        queue.add(
            "report_defect",
            made(f"defect {number}"),
            installation=str(installation.pk),
            severity="minor",
            description=f"Scratch {number}",
        )
    return queue.operations


def at_once(requests: Sequence[tuple[APIClient, list[dict[str, Any]]]]) -> Counter[str]:
    """How often each result was answered."""

    def one(request: tuple[APIClient, list[dict[str, Any]]]) -> list[str]:
        client, operations = request
        try:
            answer = client.post("/api/v1/sync/", {"operations": operations})
            assert answer.status_code == 200, answer.content
            return [result["result"] for result in answer.json()["results"]]
        finally:
            connection.close()

    with ThreadPoolExecutor(AT_ONCE) as pool:
        return Counter(result for results in pool.map(one, requests) for result in results)


def test_an_operation_sent_many_times_at_once_is_applied_once(fitter, queue):
    results = at_once([(signed_in(fitter), queue[:1]) for _ in range(AT_ONCE)])
    assert results == {"applied": 1, "already_applied": AT_ONCE - 1}
    assert Defect.objects.count() == 1
    assert list(find_flaws()) == []


def test_a_queue_sent_many_times_at_once_keeps_its_order(fitter, queue):
    results = at_once([(signed_in(fitter), queue) for _ in range(AT_ONCE)])
    assert results == {"applied": AT_ONCE, "already_applied": AT_ONCE * (AT_ONCE - 1)}
    stored = Defect.objects.order_by("created_at").values_list("description", flat=True)
    assert list(stored) == [f"Scratch {number}" for number in range(AT_ONCE)]
    assert list(find_flaws()) == []


def test_an_id_that_two_people_use_at_once_belongs_to_one_of_them(fitter, office, queue):
    clients = [signed_in(person) for person in (fitter, office)] * (AT_ONCE // 2)
    results = at_once([(client, queue[:1]) for client in clients])
    assert results["applied"] == 1
    assert results["refused"] == AT_ONCE // 2
    assert SyncOperation.objects.count() == 1
    assert Defect.objects.count() == 1


def test_photos_that_arrive_while_the_fitter_records_on_are_kept(fitter, installation, queue):
    """Neither waits for the other in a circle: both lock the installation before the journal."""

    def one(number: int) -> int:
        client = signed_in(fitter)
        try:
            if number % 2:
                return client.post(
                    "/api/v1/sync/", {"operations": [queue[number // 2]]}
                ).status_code
            sent = {"image": upload(picture(colour=(number, 0, 0)))}
            return client.post(
                f"/api/v1/installations/{installation.pk}/photos/", sent, format="multipart"
            ).status_code
        finally:
            connection.close()

    for operation in queue:
        operation["after"] = None
    with ThreadPoolExecutor(AT_ONCE) as pool:
        statuses = Counter(pool.map(one, range(2 * AT_ONCE)))
    assert statuses == {200: AT_ONCE, 201: AT_ONCE}
    assert list(find_flaws()) == []


def test_a_visit_is_moved_while_its_fitter_records(office, fitter, installation, queue):
    """Who is booked and what is recorded both name the fitter; neither waits in a circle."""

    def one(number: int) -> int:
        try:
            if number % 2:
                body = queue[number // 2]["body"]
                return signed_in(fitter).post("/api/v1/defects/", body).status_code
            visit = Visit.objects.get(pk=installation.visit_id)
            later = timedelta(days=40 + number)
            times = {"start": visit.start + later, "end": visit.end + later}
            path, version = f"/api/v1/visits/{visit.pk}/", {"If-Match": f'"{visit.version}"'}
            return signed_in(office).patch(path, times, headers=version).status_code
        finally:
            connection.close()

    with ThreadPoolExecutor(AT_ONCE) as pool:
        statuses = set(pool.map(one, range(2 * AT_ONCE)))
    assert statuses <= {200, 201, 412}
    assert list(find_flaws()) == []
