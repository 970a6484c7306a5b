"""The page that a surveyor and a fitter begin their day with."""

from datetime import timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from installs.models import Installation
from installs.services.concessions import concede
from jobs.idempotency import IdempotencyKey
from tests import factories
from tests.installs.pages import forms_of

pytestmark = pytest.mark.django_db
TODAY = "/today/"


@pytest.fixture
def fitters_client(client, fitter):
    client.force_login(fitter)
    return client


def visit_today(office, job, kind, *members):
    start = timezone.now() + timedelta(minutes=1)
    return factories.visit(
        office, job, kind, *members, start=start, end=start + timedelta(minutes=30)
    )


def test_without_a_visit_it_says_how_one_comes_to_stand_here(fitters_client):
    page = fitters_client.get(TODAY)
    assert "Nothing is booked for you" in page.content.decode()
    assert "books a crew" in page.content.decode()


def test_a_visit_shows_the_address_the_access_the_crew_and_the_way_to_the_sheet(
    fitters_client, office, fitter
):
    site = factories.site(office, access_notes="Side gate; park at the church.")
    job = factories.job(office, site=site)
    planned = factories.installation(office, fitter, job)
    visit = visit_today(office, job, "fitting", fitter)
    page = fitters_client.get(TODAY).content.decode()
    for text in ("1 Example Lane", "Side gate; park at the church.", visit.crew.name):
        assert text in page
    assert f"/fittings/{planned.pk}/" in page
    assert "0 of 37 steps done; next: 1, Protect the room" in page


def test_visits_of_others_and_cancelled_ones_are_not_here(fitters_client, office):
    visit_today(office, factories.job(office), "fitting", factories.person("fitter"))
    assert "Nothing is booked for you" in fitters_client.get(TODAY).content.decode()


def test_a_survey_visit_leads_to_the_survey_of_each_opening(client, office):
    surveyor = factories.person("surveyor")
    job = factories.job(office)
    factories.opening(office, job)
    visit_today(office, job, "survey", surveyor)
    client.force_login(surveyor)
    address = f"/jobs/{job.reference}/openings/1/survey/"
    assert address in client.get(TODAY).content.decode()


def test_the_office_has_no_such_page(client, office):
    client.force_login(office)
    assert client.get(TODAY).status_code == 403


def test_a_fitting_is_planned_from_it_once_the_old_door_may_come_out(
    fitters_client, office, fitter, job
):
    doorset = factories.released_doorset(office, factories.opening(office, job))
    visit = visit_today(office, job, "fitting", fitter)
    address = f"/visits/{visit.pk}/plan/{doorset.pk}/"
    assert address in fitters_client.get(TODAY).content.decode()
    form = next(f for f in forms_of(fitters_client, address) if "id" in f.fields)
    for _ in range(2):
        answer = fitters_client.post(address, form.fields)
        planned = Installation.objects.get(doorset=doorset)
        assert answer.url == f"/fittings/{planned.pk}/"


def test_until_then_it_says_what_is_in_the_way(fitters_client, office, fitter, job):
    doorset = factories.ordered_doorset(office, factories.opening(office, job))
    visit = visit_today(office, job, "fitting", fitter)
    address = f"/visits/{visit.pk}/plan/{doorset.pk}/"
    assert "Record the delivery" in fitters_client.get(address).content.decode()
    part = fitters_client.get(address, headers={"HX-Request": "true"}).content.decode()
    assert "Record the delivery" in part
    assert "<html" not in part


def test_a_visit_of_somebody_else_cannot_be_planned_for(fitters_client, office, job):
    doorset = factories.released_doorset(office, factories.opening(office, job))
    visit = visit_today(office, job, "fitting", factories.person("fitter"))
    assert fitters_client.get(f"/visits/{visit.pk}/plan/{doorset.pk}/").status_code == 404


def test_a_step_that_was_accepted_as_it_is_is_no_longer_the_next_one(
    fitters_client, office, fitter, job
):
    planned = factories.installation(office, fitter, job)
    factories.fitted(fitter, planned, until="diagonals")
    factories.inspection(fitter, planned.steps.get(code="diagonals"), rising=4165, falling=4155)
    visit_today(office, job, "fitting", fitter)
    assert "next: 10, Frame square" in fitters_client.get(TODAY).content.decode()
    concede(
        actor=office,
        idempotency_key=IdempotencyKey(),
        installation=planned,
        code="diagonals",
        place="diagonal_difference",
        reason="the maker agrees in writing",
    )
    assert "next: 11, Number every" in fitters_client.get(TODAY).content.decode()


def test_its_queries_do_not_grow_with_the_visits(
    fitters_client, office, fitter, django_assert_num_queries
):
    def one_more(hours):
        job = factories.job(office)
        factories.installation(office, fitter, job)
        start = timezone.now() + timedelta(days=1, hours=hours)
        end = start + timedelta(minutes=30)
        factories.visit(office, job, "return", fitter, start=start, end=end)

    one_more(1)
    with CaptureQueriesContext(connection) as first:
        fitters_client.get(TODAY)
    one_more(2)
    one_more(3)
    with django_assert_num_queries(len(first)):
        fitters_client.get(TODAY)


def test_a_visit_says_how_to_reach_the_customer_and_opens_the_phones_own_map(
    fitters_client, office, fitter
):
    customer = factories.customer(office, telephone="+441632960123")
    site = factories.site(office, access_notes="Side gate; park at the church.")
    job = factories.job(office, customer=customer, site=site)
    planned = factories.installation(office, fitter, job)
    visit_today(office, job, "fitting", fitter)
    for address in (TODAY, f"/fittings/{planned.pk}/"):
        page = fitters_client.get(address).content.decode()
        assert 'href="tel:+441632960123"' in page
        # RFC 5870, 3.3: latitude and longitude; 0,0 with what to look for is common practice.
        assert 'href="geo:0,0?q=1%20Example%20Lane%2C%20Sampleton%2C%20ZZ1%201ZZ"' in page
        assert "Side gate; park at the church." in page
