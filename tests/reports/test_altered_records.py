"""No certificate comes of records that were altered past the service, and no paper is genuine by
them."""

import hashlib
import json
from datetime import timedelta
from pathlib import Path

import pytest
import rfc8785
from django.core.files.storage import default_storage
from django.core.files.uploadedfile import SimpleUploadedFile
from django.core.management import CommandError, call_command
from django.test import Client
from rest_framework.test import APIClient

from installs.models import Defect, Inspection, PlanStep
from installs.models import Reading as FittingReading
from jobs.blockers import BlockerCode
from jobs.errors import GateClosed
from jobs.idempotency import IdempotencyKey
from jobs.models import (
    CATALOGUE,
    Customer,
    Job,
    JournalEntry,
    JournalStream,
    Person,
    PersonRole,
    RuleSet,
    Visit,
)
from jobs.seal_log import SEALS
from jobs.services.job_check import check_job
from jobs.services.seals import seal_root, seal_streams
from reports.models import Document
from reports.services.documents import issue_certificate, withdraw_document
from reports.services.making import make_document, store_paper
from surveys.models import Instrument
from tests import factories
from tests.journal import made_at
from tests.reports.conftest import PDF
from tests.reports.fitted import handed_over_job
from tests.upkeep import altered

pytestmark = pytest.mark.django_db
FORGED = b"%PDF-1.7 another frame, which stands perfectly plumb"


@pytest.fixture
def office() -> Person:
    return factories.person("office")


@pytest.fixture
def handed_over(office) -> Job:
    return handed_over_job(office, factories.person("fitter"))


def certify(office: Person, job: Job) -> Document:
    return issue_certificate(actor=office, idempotency_key=IdempotencyKey(), job=job)


@pytest.mark.parametrize("model", [Inspection, Instrument])
def test_a_chain_written_anew_with_its_rows_gives_no_certificate(office, handed_over, model):
    """Rows and entries agree, and every entry follows the one before: nobody without the key can
    say that it was sealed so."""
    seal_streams()
    record = model.objects.first()
    assert record.journal_stream in {handed_over.journal_stream, CATALOGUE}
    made_at(record, record.created_at - timedelta(days=1))
    assert check_job(handed_over).contradictions == []
    with pytest.raises(GateClosed) as shut:
        certify(office, handed_over)
    (blocker,) = shut.value.blockers
    assert (blocker.kind, blocker.record["id"]) == (BlockerCode.JOURNAL, record.journal_stream)


def test_a_seal_made_to_agree_with_such_a_chain_gives_none_either(office, handed_over):
    seal_streams()
    inspection = Inspection.objects.first()
    made_at(inspection, inspection.created_at - timedelta(days=1))
    entry = JournalEntry.objects.get(stream=SEALS)
    head = JournalStream.objects.get(name=handed_over.journal_stream)
    content = json.loads(entry.text)
    (leaf,) = (one for one in content["body"]["leaves"] if one["stream"] == head.name)
    leaf["digest"] = head.head
    root = seal_root(content["body"]["leaves"]).hex()
    content["record"]["id"] = root
    text = rfc8785.dumps(content).decode()
    digest = hashlib.sha256(text.encode()).hexdigest()
    JournalEntry.objects.filter(pk=entry.pk).update(text=text, digest=digest, record_id=root)
    JournalStream.objects.filter(name=SEALS).update(head=digest)
    with pytest.raises(GateClosed) as shut:
        certify(office, handed_over)
    (blocker,) = shut.value.blockers
    assert (blocker.kind, blocker.record["id"]) == (BlockerCode.JOURNAL, SEALS)


def test_a_failure_made_a_pass_with_its_defect_deleted_gives_no_certificate(office):
    """Of a job that is fitted but for a jamb out of plumb: the gate is shut, then forced."""
    fitter = factories.person("fitter")
    job = handed_over_job(office, fitter)
    step = PlanStep.objects.get(installation__doorset__opening__job=job, code="plumb")
    failed = factories.inspection(fitter, step, **dict.fromkeys(step.criteria, 9.0))
    assert failed.outcome == "fail"
    with pytest.raises(GateClosed) as shut:
        certify(office, job)
    assert BlockerCode.JOURNAL not in {b.kind for b in shut.value.blockers}

    Defect.objects.all().delete()
    FittingReading.objects.filter(inspection=failed).update(decision="pass", value=0.0)
    Inspection.objects.filter(pk=failed.pk).update(outcome="pass")
    with pytest.raises(GateClosed) as forced:
        certify(office, job)
    assert {b.kind for b in forced.value.blockers} == {BlockerCode.JOURNAL}
    assert {b.record["kind"] for b in forced.value.blockers} == {"inspection", "defect"}
    assert not any(b.concedable for b in forced.value.blockers)
    assert not Document.objects.exists()


def test_limits_roles_and_instruments_altered_give_no_certificate_either(office, handed_over):
    fitter = handed_over.visits.filter(kind=Visit.Kind.FITTING).first().people.get()
    instrument = handed_over.openings.get().surveys.first().instrument
    for alter in (
        lambda: RuleSet.objects.filter(pk=handed_over.rule_set_id).update(title="Lax"),
        lambda: PersonRole.objects.filter(person=fitter).update(role="office"),
        lambda: type(instrument).objects.filter(pk=instrument.pk).update(name="Better"),
        lambda: Customer.objects.filter(pk=handed_over.customer_id).update(name="Else"),
    ):
        with altered.undone():
            alter()
            with pytest.raises(GateClosed) as shut:
                certify(office, handed_over)
            assert {b.kind for b in shut.value.blockers} == {BlockerCode.JOURNAL}
    assert certify(office, handed_over)


def test_a_chain_that_was_rewritten_gives_no_certificate(office, handed_over):
    entry = JournalEntry.objects.filter(stream=handed_over.journal_stream).latest("number")
    JournalEntry.objects.filter(pk=entry.pk).update(text=f"{entry.text} ")
    with pytest.raises(GateClosed) as shut:
        certify(office, handed_over)
    assert BlockerCode.JOURNAL in {b.kind for b in shut.value.blockers}


def test_a_record_of_a_paper_altered_while_it_waits_is_not_drawn(office, handed_over, monkeypatch):
    monkeypatch.setattr("reports.services.documents.run_after_commit", lambda *task: None)
    document = certify(office, handed_over)
    record = document.record.replace("Garden wall", "Golden wall")
    Document.objects.filter(pk=document.pk).update(record=record)
    assert make_document(document_id=str(document.pk)) is None
    document.refresh_from_db()
    assert document.rendered_at is None
    assert "ContradictsJournal" in document.failure


@pytest.fixture
def issued(office, handed_over) -> Document:
    store_paper(document=certify(office, handed_over), pdf=PDF)
    return Document.objects.get()


def verification(document: Document, content: bytes | None = None) -> dict:
    address = f"/api/v1/verifications/{document.verification_code}/"
    if content is None:
        return APIClient().get(address).json()
    file = SimpleUploadedFile("paper.pdf", content, "application/pdf")
    return APIClient().post(address, {"file": file}, format="multipart").json()


def page(document: Document) -> str:
    return Client().get(f"/verify/{document.verification_code}/").content.decode()


def test_a_forged_paper_whose_digest_was_put_into_its_row_is_not_genuine(issued):
    assert verification(issued, PDF)["file_is"] == "identical"
    forged = hashlib.sha256(FORGED).hexdigest()
    Path(default_storage.path(issued.file.name)).write_bytes(FORGED)
    Document.objects.filter(pk=issued.pk).update(sha256=forged)

    answer = verification(issued, FORGED)
    assert (answer["status"], answer["file_is"]) == ("not_confirmed", "different")
    assert answer["sha256"] == hashlib.sha256(PDF).hexdigest() != forged
    assert verification(issued, PDF)["file_is"] == "not_confirmed"
    assert "Not confirmed." in page(issued)
    assert "Genuine." not in page(issued)


def test_a_file_exchanged_on_the_disk_alone_makes_its_paper_unconfirmed(issued):
    Path(default_storage.path(issued.file.name)).write_bytes(FORGED)
    answer = verification(issued, FORGED)
    assert (answer["status"], answer["file_is"]) == ("not_confirmed", "different")


def test_a_paper_whose_job_was_altered_since_is_not_confirmed(issued):
    assert verification(issued)["status"] == "genuine"
    with altered.undone():
        FittingReading.objects.update(decision="inconclusive")
        assert verification(issued)["status"] == "not_confirmed"
    assert verification(issued)["status"] == "genuine"


def test_a_withdrawal_taken_back_in_the_row_still_stands(issued, office):
    withdraw_document(
        actor=office,
        document=issued,
        expected_version=issued.version,
        reason="unsafe",
        for_safety=False,
    )
    Document.objects.filter(pk=issued.pk).update(withdrawn_at=None, withdrawal_reason="")
    answer = verification(issued)
    assert (answer["status"], answer["withdrawal_reason"]) == ("withdrawn", "unsafe")
    assert "Withdrawn." in page(issued)


def test_a_paper_that_only_a_row_says_was_issued_is_unknown(issued):
    copied = Document(
        **{f.name: getattr(issued, f.name) for f in Document._meta.fields if f.name != "id"}
        | {"edition": 2, "verification_code": "made-past-the-service", "file": "papers/x.pdf"}
    )
    Document.objects.filter(pk=issued.pk).update(superseded_at=issued.created_at)
    copied.save(force_insert=True)
    answer = APIClient().get("/api/v1/verifications/made-past-the-service/")
    assert answer.status_code == 404


def test_the_command_fails_and_names_the_place(issued, capsys):
    call_command("verify_journal")
    assert "every record agrees with it" in capsys.readouterr().out
    inspection = Inspection.objects.earliest("pk")
    Inspection.objects.filter(pk=inspection.pk).update(note="seen by nobody")
    with pytest.raises(CommandError, match="1 place"):
        call_command("verify_journal")
    assert f"installs.inspection {inspection.pk}, note: entry" in capsys.readouterr().err
