"""The letter to the customer: what it says, and how the paper goes with it."""

import email
import email.policy
import re
from datetime import timedelta
from email.message import EmailMessage
from pathlib import Path

import pytest
from django.test import Client
from django.utils import timezone

from reports.document_links import LINK_LASTS, document_token
from reports.services.documents import withdraw_document
from reports.tasks import deliver
from tests import factories
from tests.reports.conftest import PDF

pytestmark = pytest.mark.django_db


@pytest.fixture
def job(office):
    return factories.job(office, customer=factories.customer(office, name="Oona <b>Quill</b> & Co"))


def letter_of(issued, settings) -> EmailMessage:
    deliver.delay(str(issued.dispatches.get().pk))
    [path] = Path(settings.EMAIL_FOLDER).glob("*.eml")
    return email.message_from_bytes(path.read_bytes(), policy=email.policy.default)


def link_in(letter: EmailMessage, settings) -> str:
    text = letter.get_body(("plain",)).get_content()
    link = re.search(rf"{settings.PUBLIC_ADDRESS}(/papers/\S+)", text)
    return link[1]


def test_a_letter_says_the_same_in_plain_text_and_in_html(issued, settings):
    letter = letter_of(issued, settings)
    for kind in ("plain", "html"):
        body = letter.get_body((kind,)).get_content()
        assert issued.number in body
        assert issued.verification_code in body
        assert "is attached" in body


def test_what_a_customer_is_called_is_words_in_html_and_untouched_in_plain_text(issued, settings):
    letter = letter_of(issued, settings)
    assert "Oona <b>Quill</b> & Co" in letter.get_body(("plain",)).get_content()
    assert "Oona &lt;b&gt;Quill" in letter.get_body(("html",)).get_content()


def test_a_letter_loads_nothing_from_anywhere(issued, settings):
    html = letter_of(issued, settings).get_body(("html",)).get_content()
    assert not re.search(r"<(img|link|script|iframe)|url\(|\ssrc=", html)


def test_a_paper_too_large_for_a_letter_is_linked_and_the_link_opens_it(issued, settings):
    settings.EMAIL_LARGEST_ATTACHMENT = len(PDF) - 1
    letter = letter_of(issued, settings)
    assert not list(letter.iter_attachments())
    answer = Client().get(link_in(letter, settings))
    assert answer.getvalue() == PDF
    assert f"{LINK_LASTS.days} days" in letter.get_body(("plain",)).get_content()


def test_a_link_ends_and_says_what_to_do(issued, settings, time_machine):
    link = f"/papers/{document_token(issued)}/"
    time_machine.move_to(timezone.now() + LINK_LASTS + timedelta(minutes=1))
    answer = Client().get(link)
    assert answer.status_code == 410
    assert "ask" in answer.content.decode()


@pytest.mark.parametrize("change", ["x", "", "../"])
def test_a_link_that_was_changed_opens_nothing(issued, change):
    token = document_token(issued)
    altered = token[:-3] + change + "AA"
    assert Client().get(f"/papers/{altered}/").status_code == 404


def test_a_link_to_a_paper_that_was_withdrawn_leads_to_the_page_that_says_so(issued, office):
    token = document_token(issued)
    withdraw_document(
        actor=office,
        document=issued,
        expected_version=issued.version,
        reason="wrong opening",
        for_safety=False,
    )
    answer = Client().get(f"/papers/{token}/", follow=True)
    assert "Withdrawn" in answer.content.decode()
    assert "wrong opening" in answer.content.decode()
