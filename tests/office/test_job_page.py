"""The page of a job: what stands in the way leads to where it is dealt with."""

import re
from datetime import timedelta

import pytest
from django.test import Client
from django.utils import timezone

from jobs.models import Visit
from tests import factories

pytestmark = pytest.mark.django_db


@pytest.fixture
def browser(office) -> Client:
    return browser_of(office)


@pytest.fixture
def fitter():
    return factories.person("fitter")


def browser_of(person) -> Client:
    client = Client()
    client.force_login(person)
    return client


def html_of(client: Client, job) -> str:
    answer = client.get(f"/jobs/{job.reference}/")
    assert answer.status_code == 200, answer.status_code
    return answer.content.decode()


def leads_to(page: str, what: str) -> str | None:
    """The address behind something to do; None where it is only told."""
    assert f"<strong>{what}" in page, what
    link = re.search(rf'<a href="([^"]+)"><strong>{re.escape(what)}', page)
    return link[1] if link else None


def test_a_job_without_an_opening_leads_to_adding_one(browser, job):
    address = leads_to(html_of(browser, job), "add the openings of the job")
    assert address == f"/jobs/{job.reference}/openings/new/"


def test_what_an_order_lacks_leads_to_the_pages_of_the_opening(browser, office, job):
    factories.opening(office, job, "Rear wall")
    second = factories.opening(office, job, "Side wall")
    waiting = factories.survey(office, second)
    page = html_of(browser, job)
    opening = f"/jobs/{job.reference}/openings/"
    assert leads_to(page, "draft a doorset") == f"{opening}1/doorset/"
    assert leads_to(page, "survey the opening") == f"{opening}1/survey/"
    assert leads_to(page, "accept the survey") == f"{opening}2/surveys/{waiting.pk}/"
    assert leads_to(page, "order the doorset") == f"{opening}1/order/"


def test_a_delivery_leads_to_its_page(browser, office, job):
    factories.ordered_doorset(office, factories.opening(office, job))
    address = leads_to(html_of(browser, job), "record the delivery")
    assert address == f"/jobs/{job.reference}/openings/1/delivery/"


def test_a_fitting_is_booked_before_it_is_planned(browser, office, fitter, job):
    doorset = factories.released_doorset(office, factories.opening(office, job))
    Visit.objects.all().update(cancelled_at=timezone.now())
    planning = "plan the fitting of its doorset"
    booking = f"/jobs/{job.reference}/visits/new/?kind=fitting"
    assert leads_to(html_of(browser, job), planning) == booking
    visit = factories.visit(office, job, "fitting", fitter)
    plan = f"/visits/{visit.pk}/plan/{doorset.pk}/"
    assert leads_to(html_of(browser, job), planning) == plan
    assert leads_to(html_of(browser_of(fitter), job), planning) == plan


def test_a_step_leads_to_its_page_and_the_fitter_is_offered_no_concession(
    browser, office, fitter, job
):
    installation = factories.fitted(
        fitter, factories.installation(office, fitter, job), until="plumb"
    )
    step = installation.steps.get(code="plumb")
    factories.inspection(fitter, step, **dict.fromkeys(step.criteria, 9.0))
    again = f"put right and record again step {step.number}"
    page = f"/fittings/{installation.pk}/steps/{step.number}/"
    assert leads_to(html_of(browser, job), again) == page
    assert leads_to(html_of(browser_of(fitter), job), again) == page
    assert "/concede/" in html_of(browser, job)
    assert "/concede/" not in html_of(browser_of(fitter), job)
    assert "The office may accept it as it is" in html_of(browser_of(fitter), job)


def test_whoever_cannot_act_is_told_and_not_led(office, job):
    surveyor = factories.person("surveyor")
    factories.visit(office, job, "survey", surveyor)
    factories.opening(office, job)
    page = html_of(browser_of(surveyor), job)
    assert leads_to(page, "draft a doorset") is None
    assert leads_to(page, "survey the opening")
    assert "Book a visit" not in page
    assert "/journal/" not in page


def test_every_address_on_the_page_is_there(browser, office, fitter, job):
    """Of a job in the middle of its fitting, where most kinds of things stand in the way."""
    installation = factories.installation(office, fitter, job)
    factories.fitted(fitter, installation, until="plumb")
    factories.opening(office, job)
    addresses = set(
        re.findall(r'href="(/(?:jobs|fittings|visits|customers)/[^"]+)"', html_of(browser, job))
    )
    assert len(addresses) > 10
    for address in addresses:
        status = browser.get(address.replace("&amp;", "&")).status_code
        assert status not in (403, 404), address


def test_a_visit_that_is_ahead_can_be_cancelled_and_one_that_is_over_cannot(
    browser, office, fitter, job
):
    visit = factories.visit(office, job, "fitting", fitter)
    cancelling = f"/jobs/{job.reference}/visits/{visit.pk}/cancel/"
    assert cancelling in html_of(browser, job)
    yesterday = timezone.now() - timedelta(days=1)
    Visit.objects.update(start=yesterday, end=yesterday + timedelta(hours=1))
    assert cancelling not in html_of(browser, job)


def test_more_visits_and_papers_cost_no_more_queries(
    browser, fitter, job, ask, django_assert_max_num_queries
):
    office = factories.person("office")
    factories.visit(office, job, "fitting", fitter)
    with django_assert_max_num_queries(60) as counted:
        html_of(browser, job)
    for _ in range(3):
        factories.visit(office, job, "fitting", fitter)
        job.documents.update(superseded_at=timezone.now())
        ask(job)
    # The letters of papers are read for all of them at once.
    with django_assert_max_num_queries(len(counted) + 1):
        html_of(browser, job)
