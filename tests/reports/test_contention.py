"""Two workers on one row, each with a connection of its own."""

from concurrent.futures import ThreadPoolExecutor

import pytest
from django.db import connection

from reports.models import Dispatch, DispatchAttempt
from reports.services.delivering import deliver
from reports.services.making import store_paper

pytestmark = [
    pytest.mark.django_db(transaction=True),
    pytest.mark.skipif(
        connection.vendor == "sqlite", reason="needs PostgreSQL: set DATABASE_URL to one"
    ),
]
PDF = b"%PDF-1.7 drawn by two workers"


def by_four_workers(act) -> None:
    def one(_: int) -> None:
        try:
            act()
        finally:
            connection.close()

    with ThreadPoolExecutor(4) as pool:
        list(pool.map(one, range(4)))


def test_a_paper_drawn_by_several_workers_is_stored_once_with_one_letter(document):
    by_four_workers(lambda: store_paper(document=document, pdf=PDF))
    assert Dispatch.objects.filter(document=document).count() == 1


def test_a_letter_taken_up_by_several_workers_is_sent_once(document, settings):
    store_paper(document=document, pdf=PDF)
    letter = Dispatch.objects.get(document=document)
    DispatchAttempt.objects.all().delete()
    Dispatch.objects.filter(pk=letter.pk).update(state="waiting", attempts=0)
    by_four_workers(lambda: deliver(dispatch_id=str(letter.pk)))
    letter.refresh_from_db()
    assert (letter.state, letter.attempts) == ("sent", 1)
    assert DispatchAttempt.objects.count() == 1
