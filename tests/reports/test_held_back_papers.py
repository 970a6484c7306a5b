"""A paper that was changed past the service is given out by no download, and each says why."""

import hashlib
import logging
from pathlib import Path

import pytest
from django.test import Client
from prometheus_client import REGISTRY

from jobs.models import JournalEntry
from reports.document_links import document_token
from reports.handover_links import handover_token
from reports.models import Document
from reports.services.making import store_paper
from tests import factories
from tests.api import signed_in
from tests.reports.asked import asked_certificate
from tests.reports.conftest import PDF
from tests.reports.fitted import handed_over_job

pytestmark = pytest.mark.django_db
FORGED = b"%PDF-1.7 another frame, which stands perfectly plumb"


@pytest.fixture
def issued(office) -> Document:
    """A certificate of a few bytes, of a job whose customer has the link to their page."""
    document = asked_certificate(office, handed_over_job(office, factories.person("fitter")))
    store_paper(document=document, pdf=PDF)
    return Document.objects.get(pk=document.pk)


def forge_file(document: Document) -> None:
    Path(document.file.path).write_bytes(FORGED)


def forge_file_and_row(document: Document) -> None:
    forge_file(document)
    Document.objects.update(sha256=hashlib.sha256(FORGED).hexdigest())


def forge_row(document: Document) -> None:
    Document.objects.update(verification_code="a" * 32)


def forge_entry(document: Document) -> None:
    last = JournalEntry.objects.filter(record_id=document.pk).latest("number")
    JournalEntry.objects.filter(pk=last.pk).update(text=last.text.replace("a", "b", 1))


def lose_file(document: Document) -> None:
    Path(document.file.path).unlink()


def downloads(office, document: Document):
    """Of the office's page, the customer's page, the link of a letter, and a program."""
    browser = Client()
    browser.force_login(office)
    of_job = f"/jobs/{document.job.reference}/papers/{document.pk}/file/"
    yield browser, of_job
    yield Client(), f"/handover/{handover_token(document.job)}/certificate/"
    yield Client(), f"/papers/{document_token(document)}/"
    yield signed_in(office), f"/api/v1/documents/{document.pk}/file/"


def held_back() -> float:
    return REGISTRY.get_sample_value("sillwright_papers_held_back_total") or 0


def test_what_was_made_is_given_out_everywhere(office, issued):
    for client, address in downloads(office, issued):
        answer = client.get(address)
        assert answer.status_code == 200, address
        assert b"".join(answer.streaming_content) == PDF


@pytest.mark.parametrize(
    "forge", [forge_file, forge_file_and_row, forge_row, forge_entry, lose_file]
)
def test_what_was_changed_is_held_back_everywhere_and_told(office, issued, forge, caplog):
    forge(issued)
    before = held_back()
    with caplog.at_level(logging.ERROR, "reports.document_file"):
        for client, address in downloads(office, issued):
            answer = client.get(address)
            assert answer.status_code == 409, address
            assert FORGED not in answer.content
    assert held_back() == before + 4
    assert caplog.text.count(f"paper {issued.label} is held back") == 4


def test_each_says_what_is_wrong_and_what_to_do(office, issued):
    forge_file(issued)
    of_office, of_customer, of_letter, of_program = (
        client.get(address) for client, address in downloads(office, issued)
    )
    assert "verify_journal" in of_office.content.decode()
    assert f"reports.document {issued.pk} file" in of_office.content.decode()
    for answer in (of_customer, of_letter):
        assert "held back" in answer.content.decode()
        assert f"/verify/{issued.verification_code}/" in answer.content.decode()
        assert str(issued.pk) not in answer.content.decode()
    problem = of_program.json()
    assert problem["type"].endswith("#contradicts-journal")
    assert f"reports.document {issued.pk} file" in problem["detail"]
