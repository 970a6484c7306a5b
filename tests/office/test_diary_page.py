"""The diary of the office: who goes where in a week, and what each visit still lacks."""

from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from django.test import Client
from django.utils import timezone

from installs.models import Defect
from jobs.idempotency import IdempotencyKey
from jobs.services.diary import cancel_visit
from tests import factories

pytestmark = pytest.mark.django_db

LONDON = ZoneInfo("Europe/London")
# A Monday, in summer time, far ahead.
MONDAY = datetime(2099, 6, 1, tzinfo=LONDON)
WEEK = "/diary/?from=2099-06-01"


@pytest.fixture
def browser(office) -> Client:
    client = Client()
    client.force_login(office)
    return client


def html_of(client: Client, path: str = WEEK) -> str:
    answer = client.get(path)
    assert answer.status_code == 200, answer.status_code
    return answer.content.decode()


def booked(office, job, kind: str, person, *, day: int = 0, hours: tuple[float, float] = (9, 11)):
    start, end = (MONDAY + timedelta(days=day, hours=hour) for hour in hours)
    return factories.visit(office, job, kind, person, start=start, end=end)


@pytest.mark.parametrize(
    ("roles", "begins"),
    [
        (["office"], "/diary/"),
        (["office", "fitter"], "/diary/"),
        (["surveyor"], "/today/"),
        (["fitter"], "/today/"),
        ([], "/jobs/"),
    ],
)
def test_everybody_begins_where_their_work_is(roles, begins):
    client = Client()
    client.force_login(factories.person(*roles))
    assert client.get("/")["Location"] == begins


def test_the_diary_is_for_the_office():
    client = Client()
    client.force_login(factories.person("fitter"))
    assert client.get("/diary/").status_code == 403


def test_a_visit_stands_under_its_day_and_crew_at_the_time_of_the_firm(browser, office, job):
    visit = booked(office, job, "survey", factories.person("surveyor"), day=2)
    page = html_of(browser)
    assert page.index("Wednesday 3 June") < page.index(visit.crew.name) < page.index("Thursday 4")
    assert "09:00 to 11:00" in page
    assert f"/jobs/{job.reference}/" in page


def test_a_visit_over_two_days_stands_under_both(browser, office, job):
    booked(office, job, "survey", factories.person("surveyor"), hours=(9, 33))
    page = html_of(browser)
    assert "day 1 of 2" in page
    assert "day 2 of 2" in page


def test_a_visit_is_in_its_week_only_and_not_at_all_once_cancelled(browser, office, job):
    visit = booked(office, job, "survey", factories.person("surveyor"), day=7)
    assert job.reference not in html_of(browser)
    assert job.reference in html_of(browser, "/diary/?from=2099-06-08")
    cancel_visit(actor=office, visit=visit, expected_version=visit.version)
    assert job.reference not in html_of(browser, "/diary/?from=2099-06-08")


def test_an_empty_week_says_how_it_gets_filled(browser):
    page = html_of(browser)
    assert "Nobody is booked in this week" in page
    assert "?from=2099-05-25" in page
    assert "?from=2099-06-08" in page


@pytest.mark.parametrize("day", ["soon", "2099-02-30", "9999-12-31", "0001-01-01"])
def test_a_day_that_cannot_begin_a_week_is_told(browser, day):
    answer = browser.get(f"/diary/?from={day}")
    assert answer.status_code == 400
    assert 'class="error"' in answer.content.decode()


def test_a_survey_visit_shows_how_to_get_in(browser, office):
    site = factories.site(office, access_notes="Key under the blue pot")
    booked(office, factories.job(office, site=site), "survey", factories.person("surveyor"))
    assert "Key under the blue pot" in html_of(browser)


def test_a_fitting_visit_lacks_what_keeps_the_old_door_in(browser, office, job):
    opening = factories.opening(office, job)
    booked(office, job, "fitting", factories.person("fitter"))
    assert "order the doorset" in html_of(browser)
    ordered = factories.ordered_doorset(office, opening)
    page = html_of(browser)
    assert "order the doorset" not in page
    assert "record the delivery" in page
    factories.delivery(office, ordered)
    page = html_of(browser)
    assert "record the delivery" not in page
    # The crew does this itself when it comes.
    assert "measure the opening again" not in page
    assert "nothing missing" in page


def test_a_return_visit_is_for_what_is_still_to_be_put_right(browser, office, job):
    fitter = factories.person("fitter")
    installation = factories.installation(office, fitter, job)
    booked(office, job, "return", fitter)
    assert "no open defect" in html_of(browser)
    Defect.objects.create(
        **IdempotencyKey().columns,
        installation=installation,
        severity="minor",
        description="scratch on leaf 2",
        found_by=fitter,
    )
    assert "scratch on leaf 2" in html_of(browser)


def test_a_visit_that_is_over_lacks_nothing_any_more(browser, office, job):
    visit = factories.visit(office, job, "fitting", factories.person("fitter"))
    yesterday = timezone.now() - timedelta(days=1)
    type(visit).objects.update(start=yesterday, end=yesterday + timedelta(hours=1))
    page = html_of(browser, f"/diary/?from={timezone.localdate(yesterday).isoformat()}")
    assert job.reference in page
    assert "over" in page
    assert "still missing" not in page


def test_more_visits_of_the_same_jobs_cost_no_more_queries(
    browser, office, job, django_assert_max_num_queries
):
    factories.opening(office, job)
    surveyor, fitter = factories.person("surveyor"), factories.person("fitter")
    for day in range(2):
        booked(office, job, "fitting", fitter, day=day)
        booked(office, job, "return", fitter, day=day, hours=(12, 13))
        booked(office, job, "survey", surveyor, day=day)
    with django_assert_max_num_queries(16) as counted:
        html_of(browser)
    before = len(counted)
    for day in range(2, 7):
        booked(office, job, "fitting", fitter, day=day)
        booked(office, job, "return", fitter, day=day, hours=(12, 13))
        booked(office, factories.job(office), "survey", surveyor, day=day)
    with django_assert_max_num_queries(before):
        html_of(browser)
