"""Ordering a doorset on its page, without a browser."""

from uuid import uuid4

import pytest
from django.test import Client
from django.urls import reverse

from tests import factories
from tests.jobs.office_forms import error_beside, html_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def office():
    return factories.person("office")


@pytest.fixture
def opening(office):
    return factories.opening(office, factories.job(office))


@pytest.fixture
def browser(office) -> Client:
    client = Client()
    client.force_login(office)
    return client


@pytest.fixture
def fitting(office, opening):
    """A draft that an accepted survey shows to fit."""
    drafted = factories.doorset(office, opening)
    factories.fit_decision(office, factories.accepted_survey(office, opening), drafted)
    return drafted


def page_of(opening) -> str:
    return reverse("order-doorset", args=[opening.job.reference, opening.number])


def sent(doorset, **more) -> dict[str, str]:
    return {"id": str(uuid4()), "version": str(doorset.version)} | more


def test_what_will_be_ordered_stands_with_the_decision_and_the_gate(browser, opening, fitting):
    page = html_of(browser.get(page_of(opening)))
    assert "3590 \N{MULTIPLICATION SIGN} 2100 mm" in page
    assert "fits</span>" in page
    assert "Everything needed for the order is there" in page
    assert "cannot be altered" in page


def test_a_confirmed_order_is_placed(browser, opening, fitting):
    answer = browser.post(page_of(opening), sent(fitting, confirmed="on"))
    assert answer["Location"] == f"/jobs/{opening.job.reference}/"
    fitting.refresh_from_db()
    assert fitting.ordered_at


def test_nothing_is_ordered_without_the_confirmation(browser, opening, fitting):
    page = html_of(browser.post(page_of(opening), sent(fitting)), 400)
    assert error_beside(page, "confirmed") == "Confirm it before you order."
    fitting.refresh_from_db()
    assert fitting.ordered_at is None


def test_a_closed_gate_says_what_to_do_and_offers_no_order(browser, office, opening):
    drafted = factories.doorset(office, opening)
    page = html_of(browser.get(page_of(opening)))
    assert "Survey the opening" in page
    assert "Order this doorset" not in page
    refused = html_of(browser.post(page_of(opening), sent(drafted, confirmed="on")), 400)
    assert "it was not measured yet" in refused
    drafted.refresh_from_db()
    assert drafted.ordered_at is None


def test_an_accepted_survey_without_a_decision_leads_to_where_it_is_decided(
    browser, office, opening
):
    factories.doorset(office, opening)
    survey = factories.accepted_survey(office, opening)
    page = html_of(browser.get(page_of(opening)))
    where = reverse("survey-result", args=[opening.job.reference, opening.number, survey.pk])
    assert f'href="{where}"' in page


def test_a_draft_changed_since_it_was_looked_at_is_not_ordered(browser, opening, fitting):
    stale = html_of(browser.post(page_of(opening), sent(fitting, version="7", confirmed="on")), 400)
    assert "has changed this" in stale
    fitting.refresh_from_db()
    assert fitting.ordered_at is None


def test_pressing_twice_orders_once(browser, opening, fitting):
    order = sent(fitting, confirmed="on")
    browser.post(page_of(opening), order)
    again = html_of(browser.post(page_of(opening), order), 400)
    assert "ordered already" in again
    fitting.refresh_from_db()
    assert fitting.version == 2


def test_an_opening_without_a_doorset_leads_to_drafting_one(browser, opening):
    page = html_of(browser.get(page_of(opening)))
    assert reverse("doorset", args=[opening.job.reference, opening.number]) in page


def test_ordering_is_for_the_office(opening, office):
    surveyor = factories.person("surveyor")
    factories.visit(office, opening.job, "survey", surveyor)
    client = Client()
    client.force_login(surveyor)
    assert client.get(page_of(opening)).status_code == 403
