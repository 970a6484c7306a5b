"""A certificate while something of what it certifies could hurt somebody."""

import pytest
from rest_framework.test import APIClient

from installs.models import Defect
from installs.services.handing_over import current_installations
from jobs.models import Job, Person
from reports.models import Document
from reports.services.making import store_paper
from tests import factories
from tests.api import pointers, signed_in
from tests.reports.fitted import handed_over_job

pytestmark = pytest.mark.django_db

PDF = b"%PDF-1.7 a paper that was issued"


@pytest.fixture
def fitter() -> Person:
    return factories.person("fitter")


@pytest.fixture
def handed_over(office, fitter) -> Job:
    return handed_over_job(office, fitter)


def ask(office: Person, job: Job):
    body = {"job": str(job.pk), "kind": "completion_certificate"}
    return signed_in(office).post("/api/v1/documents/", body)


@pytest.fixture
def certificate(office, handed_over) -> Document:
    document = Document.objects.get(pk=ask(office, handed_over).json()["id"])
    store_paper(document=document, pdf=PDF)
    document.refresh_from_db()
    return document


def report(fitter: Person, job: Job, severity: str) -> Defect:
    body = {
        "installation": str(current_installations(job).get().pk),
        "severity": severity,
        "description": "A sash hangs by one hinge",
    }
    answer = signed_in(fitter).post("/api/v1/defects/", body)
    return Defect.objects.get(pk=answer.json()["id"])


def close(fitter: Person, office: Person, defect: Defect) -> None:
    """By a second fitter, who comes back for it."""
    mate = factories.person("fitter")
    factories.visit(office, defect.installation.job, "return", mate)
    path = f"/api/v1/defects/{defect.pk}/"
    right = signed_in(fitter).post(
        f"{path}put-right/", {"how": "New hinges"}, headers={"If-Match": f'"{defect.version}"'}
    )
    assert right.status_code == 200
    looked_at = signed_in(mate).post(
        f"{path}reinspect/", {"accepted": True}, headers={"If-Match": f'"{defect.version + 1}"'}
    )
    assert looked_at.status_code == 200, looked_at.content


def withdraw(office: Person, document: Document, **body):
    return signed_in(office).post(
        f"/api/v1/documents/{document.pk}/withdraw/",
        {"reason": "A pane may fall"} | body,
        headers={"If-Match": f'"{document.version}"'},
    )


def verified(document: Document):
    return APIClient().get(f"/api/v1/verifications/{document.verification_code}/").json()


def page(client, document: Document) -> str:
    return client.get(f"/verify/{document.verification_code}/").content.decode()


def test_while_a_critical_defect_is_open_the_paper_is_genuine_but_none_to_rely_on(
    client, office, fitter, handed_over, certificate
):
    assert verified(certificate)["status"] == "genuine"
    defect = report(fitter, handed_over, "critical")
    answer = verified(certificate)
    assert answer["status"] == "safety_open"
    assert [matter["opening"] for matter in answer["safety_matters"]] == [1]
    shown = page(client, certificate)
    assert "Do not use the doorset: a critical defect is open." in shown
    assert "still valid" not in shown
    assert defect.description not in shown
    close(fitter, office, defect)
    assert verified(certificate)["status"] == "genuine"
    assert verified(certificate)["safety_matters"] == []


def test_a_lesser_defect_is_no_matter_of_safety(fitter, handed_over, certificate):
    report(fitter, handed_over, "major")
    assert verified(certificate)["status"] == "defects_since"
    assert verified(certificate)["safety_matters"] == []


def test_a_certificate_that_was_withdrawn_for_safety_comes_again_once_the_matter_is_closed(
    office, fitter, handed_over, certificate
):
    assert withdraw(office, certificate, for_safety=True).status_code == 200
    refused = ask(office, handed_over)
    assert refused.status_code == 409
    assert [blocker["code"] for blocker in refused.json()["blockers"]] == ["defect"]
    defect = Defect.objects.get()
    assert (defect.severity, defect.description) == ("critical", "A pane may fall")
    close(fitter, office, defect)
    assert ask(office, handed_over).status_code == 201


def test_the_open_defect_that_a_certificate_is_withdrawn_for_is_not_doubled(
    office, fitter, handed_over, certificate
):
    report(fitter, handed_over, "critical")
    assert withdraw(office, certificate, for_safety=True).status_code == 200
    assert Defect.objects.count() == 1


def test_a_withdrawal_says_whether_somebody_could_be_hurt(office, certificate):
    assert pointers(withdraw(office, certificate)) == ["/for_safety"]


def test_a_certificate_that_was_withdrawn_for_a_slip_opens_no_defect(
    office, handed_over, certificate
):
    assert withdraw(office, certificate, for_safety=False).status_code == 200
    assert not Defect.objects.exists()
    assert ask(office, handed_over).status_code == 201
