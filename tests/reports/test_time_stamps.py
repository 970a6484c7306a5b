"""Times on papers that an authority outside the firm vouches for."""

import hashlib
from collections.abc import Iterator
from datetime import timedelta
from io import BytesIO
from itertools import islice
from random import Random

import pytest
from asn1crypto import x509 as asn1_x509
from cryptography.hazmat.primitives import serialization
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.utils import timezone
from pyhanko.pdf_utils import generic
from pyhanko.pdf_utils.incremental_writer import IncrementalPdfFileWriter
from pyhanko.pdf_utils.reader import PdfFileReader
from pyhanko.sign.signers import PdfTimeStamper
from pyhanko.sign.validation import validate_pdf_signature, validate_pdf_timestamp
from pyhanko_certvalidator import ValidationContext

from reports.models import Document, TimeStamp
from reports.services.making import make_document
from reports.services.stamping import due_for_stamp, stamp_due_papers
from reports.timestamping import authority as stamping_authority
from reports.verification.findings import Verdict, verdict_of
from reports.verification.paper import check_paper
from tests.journal import types_written_by
from tests.reports.altered import alterations, what_is_broken
from tests.reports.asked import provable_certificate
from tests.reports.authority import NAME, Authority, listening

pytestmark = pytest.mark.django_db


@pytest.fixture(scope="module")
def authority() -> Authority:
    return Authority()


@pytest.fixture(autouse=True)
def _at_its_address(authority, settings) -> Iterator[None]:
    authority.away = False
    with listening(authority) as settings.TIMESTAMP_URL:
        yield


@pytest.fixture
def document(office, job) -> Document:
    """Asked for and not made yet."""
    return provable_certificate(office, job)


@pytest.fixture
def certificate(document) -> Document:
    return made(document)


def made(document: Document) -> Document:
    make_document(document_id=str(document.pk))
    document.refresh_from_db()
    assert not document.failure
    return document


def content(file) -> bytes:
    with file.open("rb") as opened:
        return bytes(opened.read())


def times_said_of(pdf: bytes) -> list[str]:
    findings = list(check_paper(pdf))
    assert verdict_of(findings) == Verdict.HOLDS, findings
    return [f.says for f in findings if f.about == "time" and f.standing == "holds"]


def test_a_paper_is_signed_with_a_time_of_the_authority(certificate, authority):
    pdf = content(certificate.file)
    (said,) = times_said_of(pdf)
    assert said.startswith(f"{NAME} vouches that it existed on ")
    # reference library: pyHanko 0.38, its validator, which trusts this authority
    encoded = authority.certificate.public_bytes(serialization.Encoding.DER)
    (signature,) = PdfFileReader(BytesIO(pdf)).embedded_signatures
    trusting = ValidationContext(trust_roots=[asn1_x509.Certificate.load(encoded)])
    status = validate_pdf_signature(signature, trusting, trusting)
    assert status.timestamp_validity.valid
    assert status.timestamp_validity.trusted
    stamp = certificate.time_stamps.get()
    assert (stamp.number, stamp.authority[-len(NAME) :], stamp.file.name) == (1, NAME, "")
    assert abs(stamp.stamped_at - timezone.now()) < timedelta(minutes=5)
    assert due_for_stamp() == []


@pytest.mark.parametrize("fault", ["away", "no_answer", "nonsense"])
def test_an_authority_that_fails_stops_no_paper_and_stamps_it_once_it_is_back(
    document, authority, settings, monkeypatch, fault
):
    address = settings.TIMESTAMP_URL
    if fault == "away":
        authority.away = True
    elif fault == "no_answer":
        settings.TIMESTAMP_URL = "http://127.0.0.1:9/"
    else:
        monkeypatch.setattr(authority, "answer", lambda _: b"nonsense")
    made(document)
    assert times_said_of(content(document.file)) == []
    assert stamp_due_papers() == 0

    authority.away, settings.TIMESTAMP_URL = False, address
    monkeypatch.undo()
    settings.TIMESTAMP_URL = address
    assert types_written_by(stamp_due_papers) == ["document.time_stamped"]
    issued, stamped = content(document.file), content(document.newest_file)
    assert stamped.startswith(issued)
    assert len(times_said_of(stamped)) == 1
    assert due_for_stamp() == []


def test_a_time_is_renewed_every_year_over_all_that_was_before(certificate, authority):
    before = content(certificate.file)
    for number in (2, 3):
        TimeStamp.objects.update(stamped_at=timezone.now() - timedelta(days=366))
        assert due_for_stamp() == [certificate.pk]
        stamp_due_papers()
        after = content(certificate.newest_file)
        assert after.startswith(before)
        assert len(times_said_of(after)) == number
        assert certificate.time_stamps.get(number=number).sha256 == digest(after)
        before = after
    # published: ETSI EN 319 142-1, B-LTA: what verifies the signature, then a document time stamp
    reader = PdfFileReader(BytesIO(before))
    assert "/DSS" in reader.root
    assert [s.sig_object_type for s in reader.embedded_signatures] == [
        "/Sig",
        "/DocTimeStamp",
        "/DocTimeStamp",
    ]
    first, _, last = reader.embedded_signatures
    encoded = authority.certificate.public_bytes(serialization.Encoding.DER)
    trusting = ValidationContext(trust_roots=[asn1_x509.Certificate.load(encoded)])
    renewed = validate_pdf_timestamp(last, trusting)
    assert (renewed.intact, renewed.valid, renewed.trusted) == (True, True, True)
    assert validate_pdf_signature(first, trusting, trusting, skip_diff=True).intact


def digest(pdf: bytes) -> str:
    return hashlib.sha256(pdf).hexdigest()


def test_a_time_whose_certificate_ends_soon_is_renewed_before(certificate):
    now = timezone.now()
    TimeStamp.objects.update(good_until=now + timedelta(days=89))
    assert due_for_stamp() == []
    TimeStamp.objects.update(stamped_at=now - timedelta(days=91))
    assert due_for_stamp() == [certificate.pk]


def test_without_an_authority_nothing_is_asked_and_the_paper_says_so(document, settings, authority):
    settings.TIMESTAMP_URL = ""
    asked = authority.answers
    made(document)
    stamp_due_papers()
    assert authority.answers == asked
    unknown = [f.says for f in check_paper(content(document.file)) if f.about == "time"]
    assert unknown == ["when it was signed: no authority outside the firm has stamped a time on it"]


def test_papers_that_are_no_longer_valid_are_not_stamped(certificate):
    TimeStamp.objects.update(stamped_at=timezone.now() - timedelta(days=366))
    Document.objects.update(superseded_at=timezone.now())
    assert due_for_stamp() == []


def test_a_stamped_paper_hides_no_change_either(certificate):
    TimeStamp.objects.update(stamped_at=timezone.now() - timedelta(days=366))
    stamp_due_papers()
    stamped = content(certificate.newest_file)
    for what, altered in islice(alterations(stamped, Random(30)), 40):
        assert what_is_broken(altered), what
    random = Random(31)
    for start in range(certificate.file.size, len(stamped), 400):
        at = min(start + random.randrange(400), len(stamped) - 1)
        altered = stamped[:at] + bytes([stamped[at] ^ 1]) + stamped[at + 1 :]
        assert what_is_broken(altered), at


def test_the_page_knows_the_paper_as_issued_and_as_stamped(certificate):
    first = TimeStamp.objects.get()
    TimeStamp.objects.update(stamped_at=timezone.now() - timedelta(days=366))
    stamp_due_papers()
    # As the journal has it: a page confirms nothing by what was changed past the service.
    TimeStamp.objects.filter(pk=first.pk).update(stamped_at=first.stamped_at)
    page = f"/verify/{certificate.verification_code}/"
    for pdf, words in (
        (content(certificate.file), "Identical."),
        (content(certificate.newest_file), "Identical."),
        (content(certificate.newest_file) + b" ", "Different."),
    ):
        upload = {"file": SimpleUploadedFile("paper.pdf", pdf, "application/pdf")}
        assert words in Client().post(page, upload).content.decode()


@pytest.mark.parametrize("what", ["page", "attachment", "catalogue"])
def test_whatever_but_a_time_is_added_behind_the_signature_is_found_though_it_is_stamped(
    certificate, what
):
    """Anybody can ask an authority for a time: it says when, and not what for."""
    writer = IncrementalPdfFileWriter(BytesIO(content(certificate.file)))
    if what == "page":
        page = writer.root["/Pages"]["/Kids"][0]
        page["/Rotate"] = generic.NumberObject(90)
        writer.update_container(page)
    elif what == "attachment":
        stream = writer.root["/Names"]["/EmbeddedFiles"]["/Names"][1]["/EF"]["/F"]
        stream._data = b"{}"
        stream._encoded_data = None
        writer.update_container(stream)
    else:
        writer.root["/OpenAction"] = generic.ArrayObject()
        writer.update_root()
    forged = BytesIO()
    PdfTimeStamper(stamping_authority()).timestamp_pdf(writer, "sha256", output=forged)
    assert what_is_broken(forged.getvalue()).about in ("signature", "file")
