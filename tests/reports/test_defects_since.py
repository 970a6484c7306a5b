"""What is found after the handover changes what a paper is worth, and everybody is told as much as
is theirs: strangers how many, the customer what."""

from datetime import timedelta
from uuid import uuid4

import pytest
from django.test import Client
from django.utils import timezone
from rest_framework.test import APIClient

from installs.models import Defect, Handover
from installs.services.handing_over import current_installations
from jobs.idempotency import IdempotencyKey
from jobs.models import Visit
from reports.handover_links import handover_token
from reports.papers.defect_records import concession_records
from reports.services.documents import issue_certificate
from reports.services.making import store_paper
from reports.verification.paper import check_paper
from tests import factories
from tests.api import pointers, signed_in
from tests.reports.conftest import PDF
from tests.reports.fitted import handed_over_job

pytestmark = pytest.mark.django_db

SECRET = "A sash hangs by one hinge"


@pytest.fixture
def fitter():
    return factories.person("fitter")


@pytest.fixture
def job(office, fitter):
    return handed_over_job(office, fitter)


@pytest.fixture
def certificate(office, job):
    document = issue_certificate(actor=office, idempotency_key=IdempotencyKey(), job=job)
    store_paper(document=document, pdf=PDF)
    document.refresh_from_db()
    return document


def report(fitter, job, severity, **otherwise) -> Defect:
    body = {
        "id": str(uuid4()),
        "installation": str(current_installations(job).get().pk),
        "severity": severity,
        "description": SECRET,
    }
    answer = signed_in(fitter).post("/api/v1/defects/", body | otherwise)
    assert answer.status_code == 201, answer.content
    return Defect.objects.get(pk=body["id"])


def verified(document) -> dict:
    return APIClient().get(f"/api/v1/verifications/{document.verification_code}/").json()


def page(document) -> str:
    return Client().get(f"/verify/{document.verification_code}/").content.decode()


def customers_page(job) -> str:
    return Client().get(f"/handover/{handover_token(job)}/").content.decode()


def test_a_defect_found_after_the_handover_says_so(fitter, job):
    defect = report(fitter, job, "major")
    assert defect.found_after == Handover.objects.get()


def test_a_paper_is_valid_with_open_defects_since(fitter, job, certificate):
    assert verified(certificate)["status"] == "genuine"
    assert verified(certificate)["defects_since"] == []
    for severity in ("minor", "major", "minor"):
        report(fitter, job, severity)
    told = verified(certificate)
    assert told["status"] == "defects_since"
    assert told["defects_since"] == [
        {"severity": "major", "count": 1},
        {"severity": "minor", "count": 2},
    ]


def test_a_stranger_reads_how_many_and_not_what(fitter, job, certificate):
    report(fitter, job, "major")
    report(fitter, job, "minor")
    shown = page(certificate)
    assert "Valid, with open defects since." in shown
    assert "1 major defect is open" in shown
    assert "1 minor defect is open" in shown
    assert "Genuine." not in shown
    assert SECRET not in shown
    assert SECRET not in str(verified(certificate))


def test_a_critical_one_is_said_first_and_plainly_with_whom_to_ask(
    fitter, job, certificate, settings
):
    report(fitter, job, "minor")
    report(fitter, job, "critical")
    assert verified(certificate)["status"] == "safety_open"
    shown = page(certificate)
    assert "Do not use the doorset: a critical defect is open." in shown
    assert shown.index("Do not use the doorset") < shown.index(settings.FIRM_EMAIL)
    assert SECRET not in shown


def test_what_is_closed_or_was_on_the_paper_is_no_defect_since(office, fitter, job, certificate):
    defect = report(fitter, job, "minor")
    headers = {"If-Match": '"1"'}
    path = f"/api/v1/defects/{defect.pk}/"
    signed_in(fitter).post(f"{path}put-right/", {"how": "polished"}, headers=headers)
    headers = {"If-Match": '"2"'}
    signed_in(fitter).post(f"{path}reinspect/", {"accepted": True}, headers=headers)
    assert verified(certificate)["status"] == "genuine"


def test_withdrawn_and_superseded_outweigh_it(office, fitter, job, certificate):
    report(fitter, job, "major")
    signed_in(office).post(
        f"/api/v1/documents/{certificate.pk}/withdraw/",
        {"reason": "The name is misspelt", "for_safety": False},
        headers={"If-Match": f'"{certificate.version}"'},
    )
    told = verified(certificate)
    assert told["status"] == "withdrawn"
    assert "Withdrawn." in page(certificate)


def test_a_file_alone_says_that_it_cannot_know():
    said = [finding for finding in check_paper(b"no paper") if finding.standing == "unknown"]
    assert any("whether a defect was found since" in finding.says for finding in said)


def test_the_customer_reads_what_was_found_and_the_caution_first(fitter, job, settings):
    report(fitter, job, "minor", description="A scratch")
    assert "Do not use this doorset" not in customers_page(job)
    report(fitter, job, "critical")
    shown = customers_page(job)
    assert shown.index("Do not use this doorset") < shown.index(settings.FIRM_EMAIL)
    assert shown.index(settings.FIRM_EMAIL) < shown.index("Still to come")
    assert SECRET in shown
    assert shown.count("found after the handover") == 2


def test_the_customer_reads_what_they_accepted_and_until_when(fitter, job):
    until = timezone.localdate() + timedelta(days=20)
    defect = report(fitter, job, "minor")
    Defect.objects.update(to_come_by=until, to_come_promise="The hinge is replaced.")
    entry = {"defect": str(defect.pk), "opening": 1, "what": SECRET}
    entry |= {"promise": "The hinge is replaced.", "until": until.isoformat()}
    Handover.objects.update(to_come=[entry])
    shown = customers_page(job)
    assert "You accepted at the handover: The hinge is replaced." in shown
    assert "to be put right by" in shown


def test_a_concession_is_told_in_words(office, fitter, job):
    defect = report(fitter, job, "minor", description="A scratch of 40 mm")
    body = {
        "installation": str(defect.installation_id),
        "code": "minor_defect",
        "defect": str(defect.pk),
        "reason": "It was there before",
    }
    made = signed_in(office).post("/api/v1/concessions/", body).json()
    assert made["found"] == "a defect is open: minor"
    assert made["asked"] == "put right: A scratch of 40 mm"
    (granted,) = concession_records(job)
    assert (granted.asked, granted.found) == (made["asked"], made["found"])
    shown = customers_page(job)
    assert "accepted as it is" in shown
    assert "minor defect: A scratch of 40 mm" in shown
    assert "It was there before" in shown


def test_somebody_is_booked_for_it(office, job, fitter):
    crew = factories.crew(office, fitter)
    start = timezone.now() + timedelta(days=40)
    body = {"job": str(job.pk), "kind": "return", "purpose": "after_care", "crew": str(crew.pk)}
    body |= {"start": start.isoformat(), "end": (start + timedelta(hours=2)).isoformat()}
    answer = signed_in(office).post("/api/v1/visits/", body)
    assert answer.status_code == 201, answer.content
    assert answer.json()["purpose"] == "after_care"
    assert Visit.objects.get(pk=answer.json()["id"]).kind_label == "return, after-care"
    wrong = signed_in(office).post("/api/v1/visits/", body | {"kind": "fitting"})
    assert pointers(wrong) == ["/purpose"]


def test_the_page_of_the_defect_leads_to_the_booking(office, fitter, job):
    defect = report(fitter, job, "major")
    browser = Client()
    browser.force_login(office)
    shown = browser.get(f"/fittings/{defect.installation_id}/defects/{defect.pk}/").content.decode()
    booking = f"/jobs/{job.reference}/visits/new/?kind=return&amp;purpose=after_care"
    assert "after the handover of" in shown
    assert booking in shown
    form = browser.get(booking.replace("&amp;", "&")).content.decode()
    assert 'value="after_care" selected' in form
