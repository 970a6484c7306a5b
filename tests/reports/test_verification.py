"""What anybody who holds a paper can find out about it."""

import hashlib

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import transaction
from django.utils import timezone
from rest_framework.test import APIClient

from jobs.journal_types import JournalType
from jobs.services.records import store_change
from reports.api.serializers import LARGEST_PAPER_BYTES
from reports.models import Document
from reports.services.documents import withdraw_document
from reports.services.making import store_paper
from tests.api import pointers
from tests.reports.conftest import PDF

pytestmark = pytest.mark.django_db


@pytest.fixture
def visitor() -> APIClient:
    return APIClient()


def address(document: Document) -> str:
    return f"/api/v1/verifications/{document.verification_code}/"


def supersede(current: Document) -> None:
    with transaction.atomic():
        store_change(
            current,
            {"superseded_at": timezone.now()},
            expected_version=current.version,
            actor=None,
            entry_type=JournalType.DOCUMENT_SUPERSEDED,
        )


def page(document: Document) -> str:
    return f"/verify/{document.verification_code}/"


def paper(content: bytes = PDF) -> dict[str, SimpleUploadedFile]:
    return {"file": SimpleUploadedFile("paper.pdf", content, "application/pdf")}


def test_a_paper_that_stands_is_genuine(visitor, issued):
    answer = visitor.get(address(issued))
    assert answer.status_code == 200
    assert answer.json()["status"] == "genuine"
    assert answer.json()["number"] == issued.number
    assert "Genuine." in visitor.get(page(issued)).content.decode()


def test_a_superseded_paper_says_so_and_since_when(visitor, issued):
    supersede(issued)
    answer = visitor.get(address(issued)).json()
    assert answer["status"] == "superseded"
    assert answer["superseded_at"]
    assert "Superseded." in visitor.get(page(issued)).content.decode()


def test_a_withdrawn_paper_says_why(visitor, issued, office):
    withdraw_document(
        actor=office,
        document=issued,
        expected_version=issued.version,
        reason="wrong leaf sizes",
        for_safety=False,
    )
    answer = visitor.get(address(issued)).json()
    assert (answer["status"], answer["withdrawal_reason"]) == ("withdrawn", "wrong leaf sizes")
    html = visitor.get(page(issued)).content.decode()
    assert "Withdrawn." in html
    assert "wrong leaf sizes" in html


def test_an_unknown_code_is_not_found(visitor, issued):
    assert visitor.get("/api/v1/verifications/AAAAAAAAAAAAAAAAAAAAAA/").status_code == 404
    answer = visitor.get("/verify/AAAAAAAAAAAAAAAAAAAAAA/")
    assert answer.status_code == 404
    assert "Unknown." in answer.content.decode()


def test_a_paper_that_is_not_made_yet_is_unknown(visitor, document):
    assert visitor.get(address(document)).status_code == 404
    assert visitor.get(page(document)).status_code == 404


def test_a_copy_of_the_issued_file_is_identical(visitor, issued):
    answer = visitor.post(address(issued), paper(), format="multipart").json()
    assert answer["file_is"] == "identical"
    assert answer["file_sha256"] == hashlib.sha256(PDF).hexdigest()
    assert "Identical." in visitor.post(page(issued), paper()).content.decode()


def test_a_file_that_differs_by_one_byte_is_different(visitor, issued):
    answer = visitor.post(address(issued), paper(PDF + b" "), format="multipart").json()
    assert answer["file_is"] == "different"
    assert "Different." in visitor.post(page(issued), paper(PDF + b" ")).content.decode()


def test_a_comparison_without_a_file_names_the_field(visitor, issued):
    assert pointers(visitor.post(address(issued), {}, format="multipart")) == ["/file"]
    assert visitor.post(page(issued), {}).status_code == 400


def test_a_file_larger_than_any_paper_is_refused(visitor, issued):
    large = paper(b"0" * (LARGEST_PAPER_BYTES + 1))
    assert pointers(visitor.post(address(issued), large, format="multipart")) == ["/file"]


def test_verification_tells_nothing_about_the_customer(visitor, issued):
    answers = visitor.get(address(issued)).content + visitor.get(page(issued)).content
    customer = issued.job.customer
    assert customer.name.encode() not in answers
    assert customer.email.encode() not in answers


def test_guessing_codes_is_slowed_down(visitor, issued):
    answers = {visitor.get(address(issued)).status_code for _ in range(31)}
    assert answers == {200, 429}


def test_the_page_says_what_each_standing_means_for_the_reader(visitor, issued, office):
    assert "You can rely on it" in visitor.get(page(issued)).content.decode()
    supersede(issued)
    assert "Do not rely on this edition" in visitor.get(page(issued)).content.decode()
    withdraw_document(
        actor=office,
        document=Document.objects.get(),
        expected_version=Document.objects.get().version,
        reason="wrong leaf sizes",
        for_safety=False,
    )
    assert "Do not rely on it, whatever it says" in visitor.get(page(issued)).content.decode()


def test_the_page_says_what_the_paper_is_not_and_how_doors_are_looked_after(visitor, issued):
    html = visitor.get(page(issued)).content.decode()
    assert "not a building-control or competent-person certificate" in html
    assert "an approval of structure" in html
    assert "Clear grit and leaves from the bottom track" in html
    assert "Do not let children play with moving leaves" in html
    assert "Do not leave leaves unfastened in wind" in html


def test_a_paper_that_is_not_for_the_home_gives_no_care_instructions(visitor, ask, job):
    sheet = ask(job, kind=Document.Kind.SURVEY_SHEET)
    store_paper(document=sheet, pdf=PDF)
    assert "Looking after" not in visitor.get(page(sheet)).content.decode()


def test_the_page_is_kept_in_no_cache_and_found_by_no_search_engine(visitor, issued):
    for answer in (visitor.get(page(issued)), visitor.get("/verify/AAAAAAAAAAAAAAAAAAAAAA/")):
        assert answer["X-Robots-Tag"] == "noindex,nofollow"
        assert "no-store" in answer["Cache-Control"]


def test_page_and_api_are_counted_together_whoever_is_signed_in(visitor, issued, office):
    visitor.force_login(office)
    for _ in range(15):
        assert visitor.get(address(issued)).status_code == 200
        assert visitor.get(page(issued)).status_code == 200
    assert visitor.get(address(issued)).status_code == 429
    refused = visitor.get(page(issued))
    assert refused.status_code == 429
    assert int(refused["Retry-After"]) > 0
    assert "Nothing is wrong with your paper" in refused.content.decode()


def test_trouble_with_a_file_stands_beside_it(visitor, issued):
    html = visitor.post(page(issued), {}).content.decode()
    assert 'aria-describedby="file_error"' in html
    assert 'id="file_error"' in html
