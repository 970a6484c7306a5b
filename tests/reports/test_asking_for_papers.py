"""Who may ask for which paper, when it is refused, and what comes of asking."""

from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from rest_framework.test import APIClient

from installs.services.defects import record_defect
from jobs.errors import Conflict
from jobs.idempotency import IdempotencyKey
from reports.kinds import KINDS, may_ask
from reports.models import Dispatch, Document
from reports.services.documents import issue_document
from tests import factories
from tests.api import pointers, signed_in
from tests.reports.papers import texts_of_pages

pytestmark = pytest.mark.django_db

UNMAILED = ("survey_sheet", "fitting_pack", "defect_report")


@pytest.fixture
def fitter():
    return factories.person("fitter")


@pytest.fixture
def planned(office, job, fitter):
    """A job with a planned fitting, of which `fitter` makes the visit."""
    factories.installation(office, fitter, job)
    return job


def ask(person, job, kind, role=None):
    return signed_in(person, role).post("/api/v1/documents/", {"job": str(job.pk), "kind": kind})


@pytest.mark.parametrize("kind", UNMAILED)
def test_it_is_made_in_the_background_fetched_and_never_mailed(
    office, planned, kind, django_capture_on_commit_callbacks
):
    with django_capture_on_commit_callbacks(execute=True):
        answer = ask(office, planned, kind)
    assert answer.status_code == 201, answer.content
    body = answer.json()
    assert body["number"] == f"{planned.reference}-{KINDS[kind].suffix}"
    made = Document.objects.get()
    assert made.rendered_at, made.failure
    assert not Dispatch.objects.exists()
    client: Any = signed_in(office)
    file = client.get(f"/api/v1/documents/{made.pk}/file/")
    text = texts_of_pages(b"".join(file.streaming_content))[0]
    assert kind.replace("_", " ").capitalize() in text


def test_anybody_can_verify_it_and_learns_nothing_about_the_customer(
    office, planned, django_capture_on_commit_callbacks
):
    with django_capture_on_commit_callbacks(execute=True):
        ask(office, planned, "defect_report")
    document = Document.objects.get()
    page = f"/verify/{document.verification_code}/"
    html = APIClient().get(page).content.decode()
    assert "Genuine." in html
    assert "Defect report" in html
    assert planned.customer.name not in html
    with document.file.open("rb") as file:
        upload = SimpleUploadedFile("paper.pdf", file.read(), "application/pdf")
    assert "Identical." in APIClient().post(page, {"file": upload}).content.decode()


@pytest.mark.parametrize(
    ("kind", "status"),
    [
        ("fitting_pack", 201),
        ("defect_report", 201),
        ("survey_sheet", 403),
        ("completion_certificate", 403),
    ],
)
def test_a_fitter_asks_for_the_pack_and_the_defects_of_own_visits(planned, fitter, kind, status):
    assert ask(fitter, planned, kind).status_code == status


@pytest.mark.parametrize(
    ("kind", "status"),
    [
        ("survey_sheet", 201),
        ("fitting_pack", 403),
        ("defect_report", 403),
        ("completion_certificate", 403),
    ],
)
def test_a_surveyor_asks_for_the_survey_sheet_of_own_visits(office, planned, kind, status):
    surveyor = factories.person("surveyor")
    factories.visit(office, planned, "survey", surveyor)
    assert ask(surveyor, planned, kind).status_code == status


def test_a_job_of_other_peoples_visits_does_not_exist(planned):
    stranger = factories.person("fitter", "surveyor")
    for role, kind in (("fitter", "fitting_pack"), ("surveyor", "survey_sheet")):
        assert pointers(ask(stranger, planned, kind, role)) == ["/job"]


def test_who_only_surveyed_is_no_fitter_of_the_job(office, planned):
    """Somebody in both roles sees the job as its surveyor; the pack is for those who fit it."""
    both = factories.person("fitter", "surveyor")
    factories.visit(office, planned, "survey", both)
    assert may_ask(both, "survey_sheet", planned)
    assert not may_ask(both, "fitting_pack", planned)


@pytest.mark.parametrize(
    ("kind", "code"), [("survey_sheet", "survey"), ("fitting_pack", "installation")]
)
def test_a_paper_of_what_is_not_there_is_refused_with_what_to_do(office, job, kind, code):
    answer = ask(office, job, kind)
    assert (answer.status_code, answer.json()["gate"]) == (409, kind)
    [blocker] = answer.json()["blockers"]
    assert blocker["code"] == code
    assert blocker["record"]["name"] == job.reference
    assert not Document.objects.exists()


def test_a_survey_that_was_not_accepted_is_enough_for_a_sheet(office, job):
    factories.survey(office, factories.opening(office, job))
    assert ask(office, job, "survey_sheet").status_code == 201


def test_a_defect_report_needs_nothing(office, job):
    assert ask(office, job, "defect_report").status_code == 201


def issue(office, job, kind):
    return issue_document(actor=office, idempotency_key=IdempotencyKey(), job=job, kind=kind)


def test_a_new_edition_supersedes_its_own_kind_only(office, planned, fitter):
    first = issue(office, planned, "defect_report")
    pack = issue(office, planned, "fitting_pack")
    with pytest.raises(Conflict):
        issue(office, planned, "defect_report")
    installation = planned.openings.get().doorsets.get().installation
    record_defect(
        actor=fitter,
        idempotency_key=IdempotencyKey(),
        installation=installation,
        severity="minor",
        description="Scratch on a bead",
    )
    second = issue(office, planned, "defect_report")
    for document in (first, pack):
        document.refresh_from_db()
    assert (second.edition, second.number) == (2, first.number)
    assert (first.status, pack.status) == ("superseded", "being_made")


def test_what_was_done_leaves_the_pack_as_it_is(office, planned, fitter):
    """The pack is the plan: a step that was inspected since is no reason for another edition."""
    issue(office, planned, "fitting_pack")
    step = planned.openings.get().doorsets.get().installation.steps.get(code="protect_room")
    factories.inspection(fitter, step)
    with pytest.raises(Conflict):
        issue(office, planned, "fitting_pack")
