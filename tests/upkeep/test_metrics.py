"""Figures for a monitor that knows the token."""

import re
from datetime import timedelta

import pytest
from django.test import Client
from django.utils import timezone

from jobs.models import JournalEntry, Person
from jobs.services.seals import seal_streams
from jobs.services.verifying import verify_nightly
from reports.models import Dispatch, Document
from reports.services.making import store_paper
from tests import factories
from tests.reports.asked import asked_certificate

pytestmark = pytest.mark.django_db

TOKEN = "a-token-of-the-monitor-in-this-test"


@pytest.fixture(autouse=True)
def token(settings) -> None:
    settings.METRICS_TOKEN = TOKEN


@pytest.fixture
def office():
    return factories.person("office")


def asked(token: str = TOKEN):
    return Client().get("/metrics/", headers={"Authorization": f"Bearer {token}"})


def figure(name: str) -> float:
    answer = asked()
    assert answer.status_code == 200
    return float(re.search(rf"^{re.escape(name)} (\S+)$", answer.content.decode(), re.M)[1])


def test_without_a_token_in_the_environment_there_is_no_such_address(settings):
    settings.METRICS_TOKEN = ""
    assert asked("").status_code == 404
    assert Client().get("/metrics/").status_code == 404


@pytest.mark.parametrize("header", [{}, {"Authorization": "Bearer é"}, {"Authorization": "Bearer"}])
def test_who_does_not_know_the_token_is_told_nothing(header):
    answer = Client().get("/metrics/", headers=header)
    assert (answer.status_code, answer.content) == (401, b"")
    assert answer["WWW-Authenticate"] == "Bearer"


def test_requests_are_counted_by_the_name_of_their_route():
    Client().get("/verify/a-code-nobody-has/")
    metrics = asked().content.decode()
    assert 'view="verify"' in metrics
    assert "a-code-nobody-has" not in metrics


def test_letters_are_counted_by_what_became_of_them(office):
    for state in ("waiting", "failed", "failed", "bounced"):
        paper = asked_certificate(office, factories.job(office))
        store_paper(document=paper, pdf=b"%PDF-1.7")
        due = timezone.now() if state == "waiting" else None
        paper.dispatches.update(state=state, next_attempt_at=due)
    assert Dispatch.objects.count() == 4
    counted = [figure(f'sillwright_letters{{state="{s}"}}') for s in ("waiting", "failed")]
    assert counted == [1, 2]
    assert figure('sillwright_letters{state="bounced"}') == 1


def test_papers_that_are_not_made_grow_old(office):
    assert figure("sillwright_papers_being_made") == 0
    assert figure("sillwright_oldest_paper_being_made_seconds") == 0
    asked_certificate(office, factories.job(office))
    Document.objects.update(created_at=timezone.now() - timedelta(hours=2))
    asked_certificate(office, factories.job(office))
    assert figure("sillwright_papers_being_made") == 2
    assert figure("sillwright_oldest_paper_being_made_seconds") == pytest.approx(7200, abs=60)


def test_entries_that_no_seal_covers_grow_old(office):
    factories.job(office)
    JournalEntry.objects.update(created_at=timezone.now() - timedelta(hours=3))
    assert figure("sillwright_oldest_unsealed_entry_seconds") == pytest.approx(10800, abs=60)
    seal_streams()
    assert figure("sillwright_oldest_unsealed_entry_seconds") == 0


def test_when_everything_was_last_compared_with_the_journal_and_what_came_of_it():
    assert "sillwright_contradicting_records" not in asked().content.decode()
    before = timezone.now().timestamp()
    verify_nightly()
    assert figure("sillwright_last_verification_timestamp_seconds") >= before
    assert figure("sillwright_contradicting_records") == 0
    Person.objects.filter(pk=factories.person("office").pk).update(is_superuser=True)
    verify_nightly()
    assert figure("sillwright_contradicting_records") == 1
    assert figure("sillwright_broken_chains") == 0
