"""Accepting what stands in the way as it is, on the page that it leads to."""

import re
from uuid import uuid4

import pytest
from django.test import Client

from installs.models import Concession
from tests import factories

pytestmark = pytest.mark.django_db

WHY = "the customer saw it and agreed, the lock turns freely"


@pytest.fixture
def office():
    return factories.person("office")


@pytest.fixture
def fitter():
    return factories.person("fitter")


@pytest.fixture
def job(office):
    return factories.job(office)


@pytest.fixture
def installation(office, fitter, job):
    return factories.installation(office, fitter, job)


@pytest.fixture
def failed(fitter, installation):
    """The frame is set up to plumb, and stands 9 mm out of it."""
    fitted = factories.fitted(fitter, installation, until="plumb")
    step = fitted.steps.get(code="plumb")
    factories.inspection(fitter, step, **dict.fromkeys(step.criteria, 9.0))
    return step


@pytest.fixture
def browser(office) -> Client:
    client = Client()
    client.force_login(office)
    return client


def address_in(browser: Client, job) -> str:
    page = browser.get(f"/jobs/{job.reference}/").content.decode()
    return re.search(r'href="([^"]+/concede/[^"]+/plumb/[^"]*)"', page)[1]


def test_the_page_of_the_job_leads_to_what_can_be_accepted(browser, job, failed):
    page = browser.get(address_in(browser, job)).content.decode()
    assert f"put right and record again step {failed.number}" in page


def test_a_concession_with_its_reason_clears_the_way(browser, job, failed):
    address = address_in(browser, job)
    answer = browser.post(address, {"id": uuid4(), "reason": WHY}, follow=True)
    assert "The concession is on record" in answer.content.decode()
    assert Concession.objects.get().reason == WHY
    gone = browser.get(address, follow=True).content.decode()
    assert "is not in the way any more" in gone


def test_nothing_is_accepted_without_a_reason(browser, job, failed):
    answer = browser.post(address_in(browser, job), {"id": uuid4(), "reason": ""})
    assert answer.status_code == 400
    assert 'class="error"' in answer.content.decode()
    assert not Concession.objects.exists()


def test_what_the_rules_never_allow_is_not_accepted(browser, job, installation):
    address = f"/jobs/{job.reference}/concede/installation/{installation.pk}/mechanical_fixing/"
    assert "is not in the way" in browser.get(address, follow=True).content.decode()
    answer = browser.post(address, {"id": uuid4(), "reason": WHY})
    assert answer.status_code == 400
    assert "it cannot be conceded" in answer.content.decode()
    assert not Concession.objects.exists()


def test_only_the_office_accepts_and_only_under_the_right_job(office, fitter, job, browser, failed):
    address = address_in(browser, job)
    client = Client()
    client.force_login(fitter)
    assert client.get(address).status_code == 403
    other = factories.job(office)
    assert browser.get(address.replace(job.reference, other.reference)).status_code == 404
