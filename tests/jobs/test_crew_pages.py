"""Crews on pages of the office: who goes out together."""

from uuid import uuid4

import pytest
from django.test import Client

from jobs.models import Crew
from tests import factories

pytestmark = pytest.mark.django_db


@pytest.fixture
def office():
    return factories.person("office")


@pytest.fixture
def browser(office) -> Client:
    client = Client()
    client.force_login(office)
    return client


def test_without_a_crew_the_page_says_what_one_is_for(browser):
    assert "Visits are booked for crews" in browser.get("/crews/").content.decode()


def test_a_crew_is_added_with_its_people_and_can_be_booked(browser):
    fitter = factories.person("fitter")
    form = {"id": uuid4(), "name": "Van two", "members": [fitter.pk]}
    answer = browser.post("/crews/new/", form, follow=True)
    assert "Van two can be booked" in answer.content.decode()
    assert list(Crew.objects.get().members.all()) == [fitter]


def test_a_name_that_is_taken_is_told_beside_it_and_what_was_typed_stays(browser, office):
    taken = factories.crew(office, factories.person("fitter"))
    form = {"id": uuid4(), "name": taken.name, "members": [office.pk]}
    answer = browser.post("/crews/new/", form)
    assert answer.status_code == 400
    assert f"{taken.name} is taken" in answer.content.decode()
    assert Crew.objects.count() == 1


def test_who_is_in_a_crew_can_change(browser, office):
    crew = factories.crew(office, factories.person("fitter"))
    other = factories.person("surveyor")
    form = {"id": uuid4(), "version": crew.version, "name": "Van one", "members": [other.pk]}
    browser.post(f"/crews/{crew.pk}/", form)
    crew.refresh_from_db()
    assert (crew.name, list(crew.members.all())) == ("Van one", [other])


def test_a_change_based_on_an_old_version_is_not_kept(browser, office):
    crew = factories.crew(office, factories.person("fitter"))
    form = {"id": uuid4(), "version": crew.version + 1, "name": "Van one", "members": [office.pk]}
    answer = browser.post(f"/crews/{crew.pk}/", form)
    assert "Somebody else has changed this" in answer.content.decode()
    crew.refresh_from_db()
    assert crew.name != "Van one"


def test_the_list_costs_the_same_however_many_crews_there_are(
    browser, office, django_assert_max_num_queries
):
    for _ in range(5):
        factories.crew(office, factories.person("fitter"))
    with django_assert_max_num_queries(6):
        browser.get("/crews/")
    with django_assert_max_num_queries(7):
        browser.get("/crews/new/")


def test_crews_are_the_offices_to_change():
    client = Client()
    client.force_login(factories.person("fitter"))
    assert client.get("/crews/").status_code == 403
    assert client.post("/crews/new/", {"name": "Van two"}).status_code == 403
