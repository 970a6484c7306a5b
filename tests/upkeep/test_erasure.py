"""What the firm holds about a customer: handed to them, and erased, with the evidence kept."""

import hashlib
import hmac
import json
from datetime import datetime, timedelta
from pathlib import Path

import pytest
import time_machine
from django.core.files.storage import default_storage
from django.core.files.uploadedfile import SimpleUploadedFile
from django.core.management import CommandError, call_command
from django.utils import timezone
from rest_framework.test import APIClient

from installs.models import Handover, Inspection, Reading
from jobs.errors import Conflict, InvalidField, VersionConflict
from jobs.idempotency import IdempotencyKey
from jobs.journal_types import JournalType
from jobs.models import Customer, JournalEntry, Site
from jobs.services import jobs as services
from jobs.services.journal_check import find_flaws
from reports.addresses import document_address, handover_address
from reports.models import Dispatch, Document
from reports.services.dispatches import resend
from reports.services.documents import issue_certificate
from reports.services.making import make_document, store_paper
from reports.services.stamping import store_stamp
from reports.timestamping import Stamp
from tests import factories
from tests.api import pointers, signed_in
from tests.reports.conftest import PDF
from tests.reports.fitted import handed_over_job
from upkeep.backup.rows import models_in_order, row_lines
from upkeep.services.erasure import erase_customer

pytestmark = pytest.mark.django_db
NAME, EMAIL, TELEPHONE = "Oona Quillfeather", "oona@example.org", "+441632960123"
TELLING = ("Quillfeather", EMAIL, "01632960123"[1:], "7 Heron Rise", "ZZ2 7QQ", "key under")


@pytest.fixture
def job(office):
    contact = {"name": NAME, "email": EMAIL, "telephone": TELEPHONE}
    handed_over = handed_over_job(office, factories.person("fitter"), **contact)
    services.change_site(
        actor=office,
        site=handed_over.site,
        expected_version=1,
        address_line_1="7 Heron Rise",
        postcode="ZZ2 7QQ",
        access_notes="key under the third pot",
    )
    return handed_over


@pytest.fixture
def certificate(office, job, django_capture_on_commit_callbacks) -> Document:
    """Of the record that the service makes, of a few bytes, and mailed."""
    document = issue_certificate(actor=office, idempotency_key=IdempotencyKey(), job=job)
    with django_capture_on_commit_callbacks(execute=True):
        letter = store_paper(document=document, pdf=PDF)
    call_command("sweep_outbox")
    assert Dispatch.objects.get(pk=letter.pk).state == "sent"
    return Document.objects.get(pk=document.pk)


@pytest.fixture
def erase(office, django_capture_on_commit_callbacks):
    """Erase the customer of a job, by default eleven years later."""

    def erased(job, *, years: int = 11, **changes):
        customer = Customer.objects.get(pk=job.customer_id)
        later = timezone.now() + timedelta(days=366 * years)
        values = {"reason": "asked for by letter", "expected_version": customer.version} | changes
        with (
            time_machine.travel(later),
            django_capture_on_commit_callbacks(execute=True),
        ):
            return erase_customer(actor=office, customer=customer, **values)

    return erased


def all_rows() -> str:
    lines = (line.decode() for model in models_in_order() for line, _ in row_lines(model))
    return "".join(lines)


def files_below(folder: Path) -> list[str]:
    return sorted(path.name for path in Path(folder).rglob("*") if path.is_file())


def test_nothing_on_record_says_who_the_customer_was(certificate, erase, settings):
    before = all_rows()
    assert [word for word in TELLING if word not in before] == []
    erase(certificate.job)
    after = all_rows()
    assert [word for word in TELLING if word in after] == []
    assert files_below(settings.EMAIL_FOLDER) == []
    assert not default_storage.exists(certificate.file.name)


def test_the_evidence_stays_and_the_journal_holds(certificate, erase):
    facts = certificate.facts
    inspections, readings = Inspection.objects.count(), Reading.objects.count()
    photos = files_below(default_storage.path("photos"))
    erase(certificate.job)
    kept = Document.objects.get(pk=certificate.pk)
    for part in ("doorsets", "rule_set", "instruments", "defects", "journal", "paper", "job"):
        assert kept.facts[part] == facts[part]
    assert kept.facts["handover"] == facts["handover"] | {
        "customer_name": "erased",
        "signature": [],
    }
    assert (Inspection.objects.count(), Reading.objects.count()) == (inspections, readings)
    assert files_below(default_storage.path("photos")) == photos
    assert list(find_flaws()) == []


def test_a_paper_in_the_customers_hand_is_still_verified(certificate, erase):
    erase(certificate.job)
    upload = {"file": SimpleUploadedFile("paper.pdf", PDF, "application/pdf")}
    address = f"/api/v1/verifications/{certificate.verification_code}/"
    comparison = APIClient().post(address, upload, format="multipart").json()
    assert (comparison["status"], comparison["file_is"]) == ("genuine", "identical")


@pytest.mark.parametrize("model", [Customer, Site, Handover, Document, Dispatch])
def test_no_guess_can_be_tried_at_what_the_journal_keeps_sealed(certificate, erase, model):
    job = certificate.job
    theirs = {Customer: job.customer, Site: job.site, Handover: job.handovers.get()}
    record = theirs.get(model) or model.objects.get()
    name, key = record.sealed_fields[0], record.seal_key
    guess = getattr(record, name)
    sealed = sealed_values(record, name)[-1]
    assert sealed == under_key(key, name, guess)
    erase(job)
    record.refresh_from_db()
    assert sealed in sealed_values(record, name)
    assert sealed != under_key(record.seal_key, name, guess)
    assert key not in all_rows()
    assert record.creation_digest == ""


def sealed_values(record, name: str) -> list[str]:
    entries = JournalEntry.objects.filter(record_id=str(record.pk)).order_by("number")
    bodies = [json.loads(entry.text)["body"] for entry in entries]
    return [body[name] for body in bodies if name in body]


def test_a_paper_that_was_stamped_with_a_time_goes_too(certificate, erase):
    now = timezone.now()
    stamp = Stamp(authority="An authority", stamped_at=now, good_until=now + timedelta(days=99))
    kept = store_stamp(document=certificate, stamp=stamp, pdf=PDF + b" and a time")
    file = kept.file.name
    assert default_storage.exists(file)
    erase(certificate.job)
    kept.refresh_from_db()
    assert (kept.file.name, kept.authority) == ("", "An authority")
    assert not default_storage.exists(file)
    assert not list(find_flaws())


def under_key(key: str, name: str, value: str) -> str:
    message = f"{name}\x00{json.dumps(value, ensure_ascii=False)}".encode()
    return "hmac-sha256:" + hmac.new(key.encode(), message, hashlib.sha256).hexdigest()


def test_the_digest_of_the_body_that_made_a_record_is_sealed_too(office):
    body = {"name": NAME, "email": EMAIL}
    idempotency_key = IdempotencyKey.of(None, body)
    services.add_customer(actor=office, idempotency_key=idempotency_key, **body)
    assert idempotency_key.digest not in JournalEntry.objects.get(record_kind="jobs.customer").text


def test_the_journal_says_that_and_why(certificate, erase):
    erase(certificate.job, in_spite_of_retention="a court said so")
    entry = JournalEntry.objects.get(type=JournalType.CUSTOMER_ERASURE_DECIDED)
    assert json.loads(entry.text)["body"] == {
        "reason": "asked for by letter",
        "in_spite_of_retention": "a court said so",
    }
    customer = str(certificate.job.customer_id)
    assert JournalEntry.objects.filter(type="customer.erased", record_id=customer).exists()


def test_a_job_is_kept_until_its_time_is_over(certificate, erase, settings):
    with pytest.raises(Conflict, match=rf"{certificate.job.reference} is kept until"):
        erase(certificate.job, years=9)
    assert Customer.objects.get(name=NAME).erased_at is None
    settings.RETENTION_YEARS = 8
    assert erase(certificate.job, years=9).customer.erased_at


def test_a_firm_may_erase_earlier_and_says_why(certificate, erase):
    erased = erase(certificate.job, years=0, in_spite_of_retention="a court said so")
    assert erased.customer.name == "erased"


def test_whose_doorset_is_ordered_cannot_be_erased_at_all(office, erase):
    job = factories.job(office)
    factories.ordered_doorset(office, factories.opening(office, job))
    with pytest.raises(Conflict, match="is ordered and not handed over"):
        erase(job, in_spite_of_retention="asked for twice")


def test_a_job_that_nothing_came_of_can_be_erased_for_a_reason(office, erase):
    job = factories.job(office)
    with pytest.raises(Conflict, match="is not handed over"):
        erase(job)
    assert erase(job, in_spite_of_retention="never ordered").customer.erased_at


def test_a_reason_must_not_name_whom_it_erases(certificate, erase):
    with pytest.raises(InvalidField, match="leave out who the customer is") as refused:
        erase(certificate.job, reason="Mrs QUILLFEATHER asked for it")
    assert refused.value.pointer == "/reason"
    assert Customer.objects.filter(name=NAME).exists()


def test_a_home_that_another_customer_has_work_done_at_keeps_its_address(
    office, certificate, erase
):
    factories.job(office, site=certificate.job.site)
    erased = erase(certificate.job)
    assert erased.kept_sites == [certificate.job.site]
    assert Site.objects.get(pk=certificate.job.site_id).address_line_1 == "7 Heron Rise"
    kept = Document.objects.get(pk=certificate.pk)
    assert kept.facts["site"]["address"] == ["erased"]


def test_what_somebody_typed_into_a_title_is_told_of(office, job, erase):
    services.change_job(
        actor=office, job=job, expected_version=job.version, title="Doors for Mrs Quillfeather"
    )
    (entry,) = erase(job).named_in
    assert (entry.stream_id, entry.type) == (job.journal_stream, "job.changed")


def test_a_letter_that_still_waits_does_not_go(office, job, erase):
    document = issue_certificate(actor=office, idempotency_key=IdempotencyKey(), job=job)
    store_paper(document=document, pdf=PDF)
    erase(job)
    call_command("sweep_outbox")
    letter = Dispatch.objects.get()
    assert (letter.state, letter.attempts) == ("failed", 0)
    with pytest.raises(Conflict, match="erased"):
        resend(actor=office, dispatch=letter, expected_version=letter.version)


def test_a_paper_that_was_being_drawn_is_not_kept(office, job, erase):
    document = issue_certificate(actor=office, idempotency_key=IdempotencyKey(), job=job)
    erase(job)
    assert store_paper(document=document, pdf=PDF) is None
    assert make_document(document_id=str(document.pk)) is None
    assert not default_storage.exists(f"papers/{document.number}")


def test_a_drawing_of_a_worker_that_died_is_deleted_too(certificate, erase):
    folder = Path(default_storage.path(certificate.file.name)).parent
    default_storage.save(certificate.file.name, SimpleUploadedFile("lost.pdf", PDF))
    (folder / ".draft-half").write_bytes(PDF[:9])
    assert len(files_below(folder)) == 3
    erase(certificate.job)
    assert files_below(folder) == []


def test_files_left_by_an_erasure_that_was_cut_off_go_when_it_is_repeated(certificate, erase):
    name = certificate.file.name
    erase(certificate.job)
    default_storage.save(name, SimpleUploadedFile("left.pdf", PDF))
    before = JournalEntry.objects.count()
    erase(certificate.job)
    assert not default_storage.exists(name)
    assert JournalEntry.objects.count() == before


def test_links_of_an_erased_customer_lead_nowhere(certificate, erase, client):
    links = handover_address(certificate.job), document_address(certificate)
    paths = [link.removeprefix("http://127.0.0.1:8000") for link in links]
    assert [client.get(path).status_code for path in paths] == [200, 200]
    erase(certificate.job)
    assert [client.get(path).status_code for path in paths] == [404, 404]


def test_an_erased_customer_gets_no_new_data(office, certificate, erase):
    customer = erase(certificate.job).customer
    with pytest.raises(Conflict, match="erased"):
        services.change_customer(
            actor=office, customer=customer, expected_version=customer.version, name=NAME
        )
    with pytest.raises(Conflict, match="erased"):
        factories.job(office, customer=customer)
    with pytest.raises(Conflict, match="erased"):
        issue_certificate(actor=office, idempotency_key=IdempotencyKey(), job=certificate.job)


def test_a_change_that_somebody_made_meanwhile_is_seen_first(certificate, erase):
    with pytest.raises(VersionConflict):
        erase(certificate.job, expected_version=7)


def test_pages_show_that_a_customer_was_erased(office, certificate, erase, client):
    erase(certificate.job)
    client.force_login(office)
    html = client.get(f"/customers/{certificate.job.customer_id}/").content.decode()
    assert "was erased on" in html
    assert "Take on a job" not in html
    html = client.get(f"/jobs/{certificate.job.reference}/").content.decode()
    assert "its file was erased" in html
    assert f"/documents/{certificate.pk}/file" not in html
    assert "Send it again" not in html
    assert "new edition" not in html
    assert "Withdraw" in html


def test_the_office_erases_through_the_api_from_the_version_it_knows(
    office, certificate, settings, django_capture_on_commit_callbacks
):
    settings.RETENTION_YEARS = 0
    customer = certificate.job.customer
    address = f"/api/v1/customers/{customer.pk}/erase/"
    client = signed_in(office)
    assert client.post(address, {"reason": "asked"}).status_code == 428
    version = {"HTTP_IF_MATCH": f'"{customer.version}"'}
    assert pointers(client.post(address, {}, **version)) == ["/reason"]
    with django_capture_on_commit_callbacks(execute=True):
        answer = client.post(address, {"reason": "asked for by letter"}, **version)
    assert answer.status_code == 200
    answered = answer.json()
    assert (answered["customer"]["name"], answered["kept_sites"], answered["named_in"]) == (
        "erased",
        [],
        [],
    )
    assert answer["ETag"] == f'"{answered["customer"]["version"]}"'
    assert client.get(f"/api/v1/documents/{certificate.pk}/file/").status_code == 404


def test_a_refusal_of_the_api_says_what_is_in_the_way(office, certificate):
    customer = certificate.job.customer
    answer = signed_in(office).post(
        f"/api/v1/customers/{customer.pk}/erase/",
        {"reason": "asked"},
        HTTP_IF_MATCH=f'"{customer.version}"',
    )
    assert answer.status_code == 409
    assert "is kept until" in answer.json()["detail"]


@pytest.mark.parametrize("role", ["surveyor", "fitter"])
def test_only_the_office_reads_and_erases_what_is_held(certificate, role):
    client = signed_in(factories.person(role))
    address = f"/api/v1/customers/{certificate.job.customer_id}"
    assert client.get(f"{address}/personal-data/").status_code == 403
    assert client.post(f"{address}/erase/", {"reason": "asked"}).status_code == 403
    assert APIClient().get(f"{address}/personal-data/").status_code == 401


def test_the_office_reads_everything_that_is_held(office, certificate):
    factories.job(office, customer=factories.customer(office, name="Somebody else"))
    customer = certificate.job.customer
    held_data = signed_in(office).get(f"/api/v1/customers/{customer.pk}/personal-data/")
    assert held_data.status_code == 200
    held = held_data.json()
    assert [row["name"] for row in held["jobs.customer"]] == [NAME]
    assert held["jobs.site"][0]["access_notes"] == "key under the third pot"
    assert held["installs.handover"][0]["customer_name"] == NAME
    assert held["reports.dispatch"][0]["recipient"] == EMAIL
    assert len(held["installs.inspection"]) == Inspection.objects.count()
    assert "Somebody else" not in held_data.content.decode()
    assert "seal_key" not in held_data.content.decode()


def test_a_customer_is_handed_records_papers_and_photos_in_a_folder(certificate, tmp_path, capsys):
    call_command("export_person", EMAIL.upper(), str(tmp_path / "asked"))
    (folder,) = (tmp_path / "asked").iterdir()
    assert folder.name == str(certificate.job.customer_id)
    assert folder.stat().st_mode & 0o777 == 0o700
    assert (folder / "papers" / certificate.filename).read_bytes() == PDF
    assert len(files_below(folder / "photos")) > 1
    held = json.loads((folder / "held.json").read_text())
    assert held["jobs.customer"][0]["telephone"] == TELEPHONE
    with pytest.raises(CommandError, match="exists"):
        call_command("export_person", folder.name, str(tmp_path / "asked"))
    with pytest.raises(CommandError, match=r"no customer is on record"):
        call_command("export_person", "nobody@example.org", str(tmp_path))


def test_a_command_erases_and_tells_what_it_cannot_reach(certificate, capsys):
    pk = str(certificate.job.customer_id)
    with pytest.raises(CommandError, match="is kept until"):
        call_command("erase_customer", pk, "--reason", "asked")
    call_command(
        "erase_customer", pk, "--reason", "asked", "--in-spite-of-retention", "a court said so"
    )
    output = capsys.readouterr().out
    assert f"Customer {pk} is erased" in output
    assert "Archives made before today" in output


def test_a_time_of_retention_that_begins_on_a_leap_day_ends_on_the_first_of_march(
    office, certificate, erase, settings
):
    settings.RETENTION_YEARS = 1
    handed_over = datetime(2028, 2, 29, 12, tzinfo=timezone.get_current_timezone())
    Handover.objects.update(created_at=handed_over)
    with (
        time_machine.travel(handed_over.replace(year=2029, day=28)),
        pytest.raises(Conflict, match="is kept until 1 March 2029"),
    ):
        erase(certificate.job, years=0)
