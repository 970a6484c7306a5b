"""Papers on the page of their job: asked for, watched, withdrawn, their letters sent again."""

import re
from uuid import uuid4

import pytest
from django.test import Client
from django.utils import timezone

from reports.models import Dispatch, Document
from tests import factories

pytestmark = pytest.mark.django_db

REASON = {"reason": "the wrong house number", "for_safety": "no"}


@pytest.fixture
def browser(office) -> Client:
    return browser_of(office)


def browser_of(person) -> Client:
    client = Client()
    client.force_login(person)
    return client


def page_of(job) -> str:
    return f"/jobs/{job.reference}/"


def html_of(client: Client, path: str) -> str:
    answer = client.get(path)
    assert answer.status_code == 200, answer.status_code
    return answer.content.decode()


def ask_for(client: Client, job, kind: str, **values):
    wanted = {"id": uuid4()} | values
    return client.post(f"{page_of(job)}papers/ask/{kind}/", wanted, follow=True)


def state_of(client: Client, document) -> str:
    address = f"{page_of(document.job)}papers/{document.pk}/"
    return client.get(address, headers={"HX-Request": "true"}).content.decode()


def test_a_paper_is_offered_once_nothing_is_in_its_way(browser, office, job):
    opening = factories.opening(office, job)
    page = html_of(browser, page_of(job))
    assert "survey an opening and record its readings" in page
    assert "Make the survey sheet" not in page
    factories.survey(office, opening)
    assert "Make the survey sheet" in html_of(browser, page_of(job))


def test_asking_twice_with_one_press_makes_one_paper(browser, office, job):
    factories.survey(office, factories.opening(office, job))
    pressed = uuid4()
    for _ in range(2):
        answer = ask_for(browser, job, "survey_sheet", id=pressed)
        assert f"{job.reference}-S edition 1, is being made" in answer.content.decode()
    assert job.documents.count() == 1
    assert "Make a new edition of the survey sheet" in html_of(browser, page_of(job))


def test_a_paper_of_which_nothing_has_changed_is_not_made_again(browser, office, job):
    factories.survey(office, factories.opening(office, job))
    ask_for(browser, job, "survey_sheet")
    html = ask_for(browser, job, "survey_sheet").content.decode()
    assert "nothing on record has changed" in html
    assert job.documents.count() == 1


def test_whoever_may_ask_for_a_paper_is_offered_it_and_nobody_else(office, job):
    fitter = factories.person("fitter")
    factories.visit(office, job, "fitting", fitter)
    client = browser_of(fitter)
    page = html_of(client, page_of(job))
    assert "papers/ask/defect_report/" in page
    assert "Completion certificate" not in page
    assert ask_for(client, job, "survey_sheet").status_code == 403
    assert ask_for(client, factories.job(office), "defect_report").status_code == 404
    assert ask_for(client, job, "receipt").status_code == 404


def test_a_form_without_its_identity_makes_no_paper(browser, job):
    assert (
        "Press the button again" in ask_for(browser, job, "defect_report", id="x").content.decode()
    )
    assert not job.documents.exists()


def test_the_page_watches_a_paper_only_while_it_is_being_made(browser, job, document):
    assert "being made" in state_of(browser, document)
    assert 'hx-trigger="every 2s"' in state_of(browser, document)
    Document.objects.update(rendered_at=timezone.now(), file="x.pdf", sha256="0" * 64)
    made = state_of(browser, document)
    assert "</span> valid</span>" in made
    assert "hx-trigger" not in made


def test_what_was_seen_of_a_paper_is_not_read_out_again(browser, job, document):
    address = f"{page_of(job)}papers/{document.pk}/?seen="
    asked = {"headers": {"HX-Request": "true"}}
    assert browser.get(f"{address}{document.version}", **asked).status_code == 204
    assert browser.get(f"{address}{document.version - 1}", **asked).status_code == 200


def test_a_paper_that_failed_says_so_and_when_it_is_tried_again(browser, job, document):
    Document.objects.update(making_attempts=2, failure="OSError: the disk is full")
    state = state_of(browser, document)
    assert "making it failed" in state
    assert "2 attempts; the next one is due on" in state
    assert "the disk is full" in state


def test_without_script_the_page_of_a_paper_is_that_of_its_job(browser, job, document):
    answer = browser.get(f"{page_of(job)}papers/{document.pk}/")
    assert answer["Location"] == f"{page_of(job)}#papers"


def test_the_office_withdraws_a_paper_with_its_reason(browser, job, issued):
    address = f"{page_of(job)}papers/{issued.pk}/withdraw/"
    version = re.search(r'name="version" value="(\d+)"', html_of(browser, address))[1]
    empty = browser.post(address, {"id": uuid4(), "version": version, "reason": " "})
    assert empty.status_code == 400
    assert Document.objects.get().withdrawn_at is None
    answer = browser.post(address, {"id": uuid4(), "version": version, **REASON}, follow=True)
    assert "the wrong house number" in answer.content.decode()
    assert Document.objects.get().withdrawal_reason == REASON["reason"]


def test_a_reason_typed_for_an_older_version_is_kept_and_nothing_is_withdrawn(browser, job, issued):
    address = f"{page_of(job)}papers/{issued.pk}/withdraw/"
    answer = browser.post(address, {"id": uuid4(), "version": issued.version - 1, **REASON})
    assert answer.status_code == 400
    assert "Somebody else has changed this" in answer.content.decode()
    assert "the wrong house number" in answer.content.decode()
    assert Document.objects.get().withdrawn_at is None


def test_a_letter_that_came_back_is_sent_again(browser, job, issued):
    Dispatch.objects.update(state="failed", outcome="no such mailbox", next_attempt_at=None)
    page = html_of(browser, page_of(job))
    address = re.search(r'action="([^"]+/resend/)"', page)[1]
    version = Dispatch.objects.get().version
    answer = browser.post(address, {"id": uuid4(), "version": version}, follow=True)
    assert "is sent again to customer@example.com" in answer.content.decode()
    assert Dispatch.objects.get().state == "waiting"
    again = browser.post(address, {"id": uuid4(), "version": version + 1}, follow=True)
    assert "still in the outbox" in again.content.decode()


def test_only_the_office_withdraws_and_sends_again(office, job, issued):
    fitter = factories.person("fitter")
    factories.visit(office, job, "fitting", fitter)
    client = browser_of(fitter)
    letter = Dispatch.objects.get()
    assert client.get(f"{page_of(job)}papers/{issued.pk}/withdraw/").status_code == 403
    assert client.post(f"{page_of(job)}letters/{letter.pk}/resend/").status_code == 403
    assert "withdraw/" not in html_of(client, page_of(job))
