"""Recording a delivery on its page, without a browser."""

from uuid import uuid4

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from jobs.models import Delivery
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


def page_of(opening) -> str:
    return reverse("record-delivery", args=[opening.job.reference, opening.number])


def sent(**changes) -> dict[str, str]:
    return {
        "id": str(uuid4()),
        "delivered_on": timezone.localdate().isoformat(),
        "frame_width": "3590",
        "frame_height": "2100",
        "leaves_counted": "5",
        "accepted": "yes",
        "damage": "",
    } | changes


def test_a_delivery_is_recorded_as_measured(browser, office, opening):
    ordered = factories.ordered_doorset(office, opening)
    browser.post(page_of(opening), sent(frame_width="3589"))
    came = ordered.deliveries.get()
    assert (came.frame_width, came.frame_height, came.leaves_counted) == (3589, 2100, 5)
    assert came.accepted


def test_damage_has_to_be_told_where_a_delivery_is_not_accepted(browser, office, opening):
    factories.ordered_doorset(office, opening)
    page = html_of(browser.post(page_of(opening), sent(accepted="no")), 400)
    assert "say what is wrong" in error_beside(page, "damage")
    browser.post(page_of(opening), sent(accepted="no", damage="a bent sill"))
    assert Delivery.objects.get().damage == "a bent sill"
    assert "a bent sill" in html_of(browser.get(page_of(opening)))


@pytest.mark.parametrize(
    ("changes", "field", "message"),
    [
        ({"frame_width": "3.59"}, "frame_width", "looks like metres"),
        ({"frame_height": "2100.5"}, "frame_height", "not a whole number"),
        ({"delivered_on": "2099-01-01"}, "delivered_on", "in the future"),
        ({"leaves_counted": "many"}, "leaves_counted", "whole number"),
        ({"accepted": ""}, "accepted", "required"),
    ],
)
def test_what_cannot_be_is_told_beside_its_field(  # noqa: PLR0917
    browser, office, opening, changes, field, message
):
    factories.ordered_doorset(office, opening)
    page = html_of(browser.post(page_of(opening), sent(**changes)), 400)
    assert message in error_beside(page, field)
    assert not Delivery.objects.exists()


def test_nothing_can_have_come_that_was_not_ordered(browser, office, opening):
    factories.doorset(office, opening)
    page = html_of(browser.get(page_of(opening)))
    assert "there can be no delivery" in page
    browser.post(page_of(opening), sent())
    assert not Delivery.objects.exists()


def test_a_fitter_records_what_came_for_a_visit_of_their_own(office, opening):
    factories.ordered_doorset(office, opening)
    fitter, stranger = factories.person("fitter"), factories.person("fitter")
    factories.visit(office, opening.job, "fitting", fitter)
    client, other = Client(), Client()
    client.force_login(fitter)
    other.force_login(stranger)
    assert other.post(page_of(opening), sent()).status_code == 404
    client.post(page_of(opening), sent())
    assert Delivery.objects.count() == 1
