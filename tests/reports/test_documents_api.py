from uuid import uuid4

import pytest

from jobs.journal_types import JournalType
from jobs.models import JournalEntry
from reports.models import Dispatch, Document
from reports.tasks import deliver, make_document
from tests import factories
from tests.api import pointers, signed_in
from tests.reports.conftest import PDF

pytestmark = pytest.mark.django_db


@pytest.fixture
def client(office):
    return signed_in(office)


@pytest.fixture
def fitter(office, job):
    """A fitter with a visit of the job."""
    person = factories.person("fitter")
    factories.visit(office, job, "fitting", person)
    return person


def test_a_document_is_read_with_its_frozen_record(client, issued):
    answer = client.get(f"/api/v1/documents/{issued.pk}/")
    assert answer["ETag"] == f'"{issued.version}"'
    body = answer.json()
    assert (body["standing"], body["edition"], body["number"]) == ("genuine", 1, issued.number)
    assert body["record"] == issued.facts
    assert issued.verification_code in body["verification_address"]


def test_the_file_is_the_paper_byte_by_byte(client, issued):
    answer = client.get(f"/api/v1/documents/{issued.pk}/file/")
    assert b"".join(answer.streaming_content) == PDF
    assert answer["Content-Type"] == "application/pdf"
    assert answer["Content-Disposition"] == f'attachment; filename="{issued.number}-1.pdf"'


def test_a_file_that_is_not_made_yet_is_not_found(client, document):
    assert client.get(f"/api/v1/documents/{document.pk}/file/").status_code == 404


@pytest.mark.usefixtures("short_papers")
def test_a_paper_being_made_tells_how_far_it_is_and_why_a_try_failed(
    client, document, settings, tmp_path
):
    path = f"/api/v1/documents/{document.pk}/"
    before = client.get(path).json()
    assert (before["standing"], before["making_attempts"]) == ("being_made", 0)
    settings.MEDIA_ROOT = tmp_path / "blocked"
    settings.MEDIA_ROOT.write_text("a file where the folder should be")
    make_document.delay(str(document.pk))
    after = client.get(path).json()
    assert (after["standing"], after["making_attempts"]) == ("being_made", 1)
    assert "Error" in after["failure"]
    assert after["next_attempt_at"] != before["next_attempt_at"]


def test_a_fitter_reads_papers_of_own_jobs_and_no_other_exists(issued, fitter):
    own = signed_in(fitter)
    foreign = signed_in(factories.person("fitter"))
    for path in ("", "file/"):
        assert own.get(f"/api/v1/documents/{issued.pk}/{path}").status_code == 200
        assert foreign.get(f"/api/v1/documents/{issued.pk}/{path}").status_code == 404
    assert foreign.get("/api/v1/documents/").json()["results"] == []


def test_a_surveyor_of_another_job_sees_no_paper(issued):
    foreign = signed_in(factories.person("surveyor"))
    assert foreign.get(f"/api/v1/documents/{issued.pk}/").status_code == 404


def test_only_the_office_asks_withdraws_and_sees_the_outbox(issued, fitter):
    client = signed_in(fitter)
    asked = {"job": str(issued.job_id), "kind": "completion_certificate"}
    assert client.post("/api/v1/documents/", asked).status_code == 403
    withdrawn = client.post(
        f"/api/v1/documents/{issued.pk}/withdraw/",
        {"reason": "x", "for_safety": False},
        headers={"If-Match": '"1"'},
    )
    assert withdrawn.status_code == 403
    assert client.get("/api/v1/dispatches/").status_code == 403


def test_a_kind_of_paper_that_there_is_not_names_the_field(client, job):
    body = {"job": str(job.pk), "kind": "invoice"}
    assert pointers(client.post("/api/v1/documents/", body)) == ["/kind"]


def test_a_certificate_of_a_job_that_does_not_exist_names_the_job(client):
    body = {"job": str(uuid4()), "kind": "completion_certificate"}
    assert pointers(client.post("/api/v1/documents/", body)) == ["/job"]


def withdraw(client, document, reason="wrong leaf sizes", **headers):
    path = f"/api/v1/documents/{document.pk}/withdraw/"
    return client.post(path, {"reason": reason, "for_safety": False}, headers=headers)


def test_a_withdrawal_is_kept_and_journalled_with_its_reason(client, issued):
    answer = withdraw(client, issued, **{"If-Match": f'"{issued.version}"'})
    assert answer.status_code == 200
    assert answer.json()["standing"] == "withdrawn"
    entry = JournalEntry.objects.get(type=JournalType.DOCUMENT_WITHDRAWN)
    assert "wrong leaf sizes" in entry.text


def test_a_withdrawal_says_which_version_it_means(client, issued):
    assert withdraw(client, issued).status_code == 428
    assert withdraw(client, issued, **{"If-Match": '"99"'}).status_code == 412
    assert Document.objects.get().withdrawn_at is None


def test_a_withdrawal_without_a_reason_is_refused(client, issued):
    answer = withdraw(client, issued, reason="", **{"If-Match": f'"{issued.version}"'})
    assert pointers(answer) == ["/reason"]


def test_a_paper_is_withdrawn_once(client, issued):
    withdraw(client, issued, **{"If-Match": f'"{issued.version}"'})
    again = withdraw(client, issued, **{"If-Match": f'"{issued.version + 1}"'})
    assert again.status_code == 409


def test_the_journal_holds_neither_the_customers_name_nor_address(client, issued):
    dispatch = Dispatch.objects.get()
    journal = "".join(JournalEntry.objects.values_list("text", flat=True))
    assert dispatch.recipient not in journal
    assert issued.facts["customer"]["name"] not in journal


def test_a_letter_that_still_waits_is_not_sent_again(client, issued):
    dispatch = Dispatch.objects.get()
    answer = client.post(
        f"/api/v1/dispatches/{dispatch.pk}/resend/", headers={"If-Match": f'"{dispatch.version}"'}
    )
    assert answer.status_code == 409


def test_the_outbox_shows_every_attempt(client, issued):
    deliver.delay(str(Dispatch.objects.get().pk))
    dispatches = client.get("/api/v1/dispatches/?state=sent").json()["results"]
    assert [len(letter["attempt_records"]) for letter in dispatches] == [1]
    assert dispatches[0]["recipient"] == issued.job.customer.email


def test_a_page_of_documents_costs_the_same_queries_however_many_there_are(
    client, ask, office, django_assert_max_num_queries
):
    for _ in range(6):
        ask(factories.job(office))
    with django_assert_max_num_queries(6):
        assert len(client.get("/api/v1/documents/").json()["results"]) == 6
