"""Booking and cancelling visits on pages."""

from datetime import datetime
from uuid import uuid4
from zoneinfo import ZoneInfo

import pytest
from django.test import Client

from jobs.models import Visit
from tests import factories

pytestmark = pytest.mark.django_db

LONDON = ZoneInfo("Europe/London")


@pytest.fixture
def office():
    return factories.person("office")


@pytest.fixture
def job(office):
    return factories.job(office)


@pytest.fixture
def browser(office) -> Client:
    client = Client()
    client.force_login(office)
    return client


def booking(crew, **values):
    filled = {
        "id": uuid4(),
        "kind": "survey",
        "crew": crew.pk,
        "start": "2099-06-01T09:00",
        "end": "2099-06-01T11:30",
    }
    return filled | values


def book(client: Client, job, **values):
    return client.post(f"/jobs/{job.reference}/visits/new/", values, follow=True)


def test_a_visit_is_booked_at_the_time_of_the_firm(browser, office, job):
    crew = factories.crew(office, factories.person("surveyor"))
    answer = book(browser, job, **booking(crew))
    assert f"{crew.name} is booked" in answer.content.decode()
    visit = Visit.objects.get()
    # British summer time: an hour ahead of UTC.
    assert visit.start == datetime(2099, 6, 1, 9, tzinfo=LONDON)
    assert "09:00 to 11:30" in answer.content.decode()


def test_pressing_twice_books_once(browser, office, job):
    wanted = booking(factories.crew(office, factories.person("surveyor")))
    for _ in range(2):
        assert book(browser, job, **wanted).status_code == 200
    assert Visit.objects.count() == 1


@pytest.mark.parametrize(
    ("wrong", "message"),
    [
        ({"start": "2001-06-01T09:00"}, "in the past"),
        ({"end": "2099-06-01T08:00"}, "must end after it starts"),
        ({"start": "soon"}, "give a day and a time"),
        ({"kind": "fitting"}, "nobody in"),
        ({"kind": "party"}, "is not one of the available choices"),
        ({"crew": "nobody"}, "is not a valid UUID"),
    ],
)
def test_what_cannot_be_booked_is_told_beside_its_field_and_stays_typed(
    browser, office, job, wrong, message
):
    crew = factories.crew(office, factories.person("surveyor"))
    answer = book(browser, job, **(booking(crew) | wrong))
    page = answer.content.decode()
    assert answer.status_code == 400
    assert message in page
    assert 'class="error"' in page
    assert "2099-06-01T" in page
    assert not Visit.objects.exists()


def test_nobody_is_booked_twice_at_one_time(browser, office, job):
    crew = factories.crew(office, factories.person("surveyor"))
    book(browser, job, **booking(crew))
    answer = book(browser, factories.job(office), **booking(crew))
    assert answer.status_code == 400
    assert "is booked already" in answer.content.decode()


def test_a_link_can_say_what_the_visit_is_for(browser, job):
    page = browser.get(f"/jobs/{job.reference}/visits/new/?kind=return").content.decode()
    assert '<option value="return" selected>' in page


def test_a_visit_is_cancelled_from_the_version_that_was_shown(browser, office, job):
    visit = factories.visit(office, job, "survey", factories.person("surveyor"))
    address = f"/jobs/{job.reference}/visits/{visit.pk}/cancel/"
    assert browser.get(address).status_code == 200
    stale = browser.post(address, {"id": uuid4(), "version": visit.version + 1})
    assert stale.status_code == 400
    assert Visit.objects.get().cancelled_at is None
    answer = browser.post(address, {"id": uuid4(), "version": visit.version}, follow=True)
    assert "was cancelled" in answer.content.decode()
    assert Visit.objects.get().cancelled_at is not None


def test_only_the_office_books_and_cancels(office, job):
    surveyor = factories.person("surveyor")
    visit = factories.visit(office, job, "survey", surveyor)
    client = Client()
    client.force_login(surveyor)
    for path in ("new/", f"{visit.pk}/cancel/"):
        assert client.get(f"/jobs/{job.reference}/visits/{path}").status_code == 403


def test_a_visit_is_moved_and_its_people_stay(browser, office, job):
    visit = factories.visit(office, job, "survey", factories.person("surveyor"))
    people = list(visit.people.all())
    form = {
        "id": uuid4(),
        "version": visit.version,
        "start": "2099-07-01T08:00",
        "end": "2099-07-01T09:00",
    }
    answer = browser.post(f"/jobs/{job.reference}/visits/{visit.pk}/", form, follow=True)
    assert "The visit was moved" in answer.content.decode()
    visit.refresh_from_db()
    assert visit.start == datetime(2099, 7, 1, 8, tzinfo=LONDON)
    assert list(visit.people.all()) == people


def test_a_visit_is_not_moved_to_where_its_people_are_booked_already(browser, office, job):
    surveyor = factories.person("surveyor")
    crew = factories.crew(office, surveyor)
    first, second = (factories.visit(office, job, "survey", crew=crew) for _ in range(2))
    form = {
        "id": uuid4(),
        "version": second.version,
        "start": first.start.astimezone(LONDON).strftime("%Y-%m-%dT%H:%M"),
        "end": first.end.astimezone(LONDON).strftime("%Y-%m-%dT%H:%M"),
    }
    answer = browser.post(f"/jobs/{job.reference}/visits/{second.pk}/", form)
    assert answer.status_code == 400
    assert "booked" in answer.content.decode()
    before = second.start
    second.refresh_from_db()
    assert second.start == before
