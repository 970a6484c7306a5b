"""The list of jobs: narrowed, and taken away as a table."""

from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from django.test import Client
from tablib.core import Dataset

from jobs import table_file
from jobs.models import Job
from office.stages import with_stage
from reports.services.making import store_paper
from tests import factories

pytestmark = pytest.mark.django_db

NOON = datetime(2099, 6, 1, 12, tzinfo=ZoneInfo("Europe/London"))


@pytest.fixture
def browser(office) -> Client:
    client = Client()
    client.force_login(office)
    return client


def html_of(client: Client, path: str) -> str:
    answer = client.get(path)
    assert answer.status_code == 200, answer.status_code
    return answer.content.decode()


def stage_of(job) -> str:
    return with_stage(Job.objects.filter(pk=job.pk)).get().stage


def test_the_stage_of_a_job_follows_its_records(office, job, ask):
    assert stage_of(job) == "taken_on"
    opening = factories.opening(office, job)
    assert stage_of(job) == "taken_on"
    survey = factories.accepted_survey(office, opening)
    assert stage_of(job) == "surveyed"
    doorset = factories.doorset(office, opening)
    factories.fit_decision(office, survey, doorset)
    factories.orders.order_doorset(actor=office, doorset=doorset, expected_version=doorset.version)
    assert stage_of(job) == "ordered"
    factories.delivery(office, doorset, accepted=False, damage="frame bent")
    assert stage_of(job) == "ordered"
    factories.delivery(office, doorset)
    assert stage_of(job) == "delivered"
    store_paper(document=ask(job), pdf=b"%PDF-1.7")
    assert stage_of(job) == "certified"


def test_a_job_is_being_fitted_from_its_first_recorded_step_on(office, job):
    fitter = factories.person("fitter")
    installation = factories.installation(office, fitter, job)
    assert stage_of(job) == "delivered"
    factories.inspection(fitter, installation.steps.order_by("number").first())
    assert stage_of(job) == "being_fitted"


def test_one_opening_that_is_not_ordered_holds_back_the_stage_of_the_job(office, job):
    factories.ordered_doorset(office, factories.opening(office, job))
    assert stage_of(job) == "ordered"
    factories.opening(office, job, "Side wall")
    assert stage_of(job) == "taken_on"


def test_the_list_is_narrowed_by_stage(browser, office, job):
    ordered = factories.job(office)
    factories.ordered_doorset(office, factories.opening(office, ordered))
    page = html_of(browser, "/jobs/?stage=ordered")
    assert ordered.reference in page
    assert job.reference not in page


def test_crew_and_day_together_mean_one_visit(browser, office, job):
    other = factories.job(office)
    surveyor = factories.person("surveyor")
    crew = factories.crew(office, surveyor)
    hour = timedelta(hours=1)
    factories.visit(office, job, "survey", crew=crew, start=NOON, end=NOON + hour)
    day_after = NOON + timedelta(days=1)
    factories.visit(office, other, "survey", crew=crew, start=day_after, end=day_after + hour)
    somebody = factories.person("surveyor")
    factories.visit(office, other, "survey", somebody, start=NOON, end=NOON + hour)
    page = html_of(browser, f"/jobs/?crew={crew.pk}&on=2099-06-01")
    assert job.reference in page
    assert other.reference not in page


@pytest.mark.parametrize(
    "query", ["stage=sold", "crew=nobody", "on=soon", "on=9999-12-31", "q=" + "x" * 81]
)
def test_a_filter_that_cannot_be_read_is_told_beside_its_field(browser, job, query):
    answer = browser.get(f"/jobs/?{query}")
    assert answer.status_code == 400
    assert 'class="error"' in answer.content.decode()
    assert job.reference not in answer.content.decode()


def test_the_table_holds_what_the_list_was_narrowed_to(browser, office):
    wanted = factories.job(office, customer=factories.customer(office, name="Oona Quill"))
    factories.job(office)
    csv = browser.get("/jobs/export.csv?q=quill")
    assert csv["Content-Type"].startswith("text/csv")
    rows = Dataset().load(csv.content.decode(), format="csv").dict
    assert [row["Reference"] for row in rows] == [wanted.reference]
    assert rows[0]["Stage"] == "taken on"
    xlsx = browser.get("/jobs/export.xlsx?q=quill")
    sheet = Dataset().load(xlsx.content, format="xlsx").dict
    assert [row["Customer"] for row in sheet] == ["Oona Quill"]


@pytest.mark.parametrize("begin", ["=", "+", "-", "@"])
def test_no_cell_of_the_table_is_run_as_a_formula(browser, office, begin):
    factories.job(office, title=f"{begin}cmd\x07")
    for ending in ("csv", "xlsx"):
        table = browser.get(f"/jobs/export.{ending}").content
        given = table.decode() if ending == "csv" else table
        assert Dataset().load(given, format=ending).dict[0]["Title"] == f"'{begin}cmd"


def test_others_take_away_only_what_they_may_see(office, job):
    surveyor = factories.person("surveyor")
    own = factories.job(office)
    factories.visit(office, own, "survey", surveyor)
    client = Client()
    client.force_login(surveyor)
    table = client.get("/jobs/export.csv").content.decode()
    assert own.reference in table
    assert job.reference not in table


def test_too_many_jobs_for_one_table_are_narrowed_first(browser, office, monkeypatch):
    monkeypatch.setattr(table_file, "MOST_ROWS", 1)
    factories.job(office)
    factories.job(office)
    answer = browser.get("/jobs/export.csv", follow=True)
    assert "Filter them first" in answer.content.decode()


def test_no_other_ending_and_no_unreadable_filter_makes_a_table(browser, job):
    assert browser.get("/jobs/export.pdf").status_code == 404
    assert browser.get("/jobs/export.csv?on=soon")["Location"] == "/jobs/?on=soon"


@pytest.mark.parametrize("typed", ["{}", "{} ", "{:.8}"])
def test_a_reference_is_found_whole_or_by_how_it_begins(browser, office, typed):
    job = factories.job(office)
    asked = typed.format(job.reference).lower()
    assert job.reference in browser.get("/jobs/", {"q": asked}).content.decode()
    other = browser.get("/jobs/", {"q": "sw-99-0001"}).content.decode()
    assert job.reference not in other
