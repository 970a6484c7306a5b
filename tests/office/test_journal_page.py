"""The journal of a job as people read it."""

from datetime import UTC, datetime, timedelta

import pytest
from django.test import Client

from jobs.services.jobs import change_job
from office.views import journal_views
from tests import factories

pytestmark = pytest.mark.django_db


@pytest.fixture
def browser(office) -> Client:
    client = Client()
    client.force_login(office)
    return client


def journal(client: Client, job, page: str = "") -> str:
    answer = client.get(f"/jobs/{job.reference}/journal/", {"page": page} if page else {})
    assert answer.status_code == 200, answer.status_code
    return answer.content.decode()


def test_a_change_is_told_with_who_made_it_and_how_it_was_before(browser, office, job):
    change_job(actor=office, job=job, expected_version=job.version, title="Kitchen wall")
    page = journal(browser, job)
    assert "Job changed" in page
    assert office.display_name in page
    assert "<del>Garden doors</del>" in page
    assert "<ins>Kitchen wall</ins>" in page
    assert page.index("Job changed") < page.index("Job taken on")


def test_what_nobody_asked_for_is_marked_as_automatic(browser, job, issued):
    page = journal(browser, job)
    assert "automatically" in page
    assert "kept under seal" in page


def test_moments_are_told_at_the_time_of_the_firm_and_other_records_as_records(
    browser, office, job
):
    start = datetime(2099, 6, 1, 8, tzinfo=UTC)
    surveyor = factories.person("surveyor")
    factories.visit(office, job, "survey", surveyor, start=start, end=start + timedelta(hours=1))
    page = journal(browser, job)
    assert "1 June 2099, 09:00" in page
    assert "2099-06-01T08" not in page
    assert f"record {str(job.pk)[:8]}" in page
    assert "1 record<" in page


def test_what_a_record_holds_in_parts_is_told_in_words(browser, office, job):
    factories.survey(office, factories.opening(office, job))
    page = journal(browser, job)
    assert "measured to structural" in page
    assert "{&quot;" not in page


def test_what_people_wrote_is_shown_as_words(browser, office):
    job = factories.job(office, title="<script>alert(1)</script>")
    assert "<script>alert" not in journal(browser, job)


def test_the_journal_goes_on_page_by_page(browser, office, job, monkeypatch):
    monkeypatch.setattr(journal_views, "ENTRIES_PER_PAGE", 1)
    factories.opening(office, job)
    assert "Job taken on" not in journal(browser, job)
    assert "Job taken on" in journal(browser, job, "2")


def test_a_page_costs_the_same_queries_however_long_the_journal_is(
    browser, office, job, django_assert_max_num_queries
):
    for number in range(6):
        factories.opening(office, job, f"Wall {number}")
    with django_assert_max_num_queries(7):
        journal(browser, job)


def test_only_the_office_reads_it(office, job):
    surveyor = factories.person("surveyor")
    factories.visit(office, job, "survey", surveyor)
    client = Client()
    client.force_login(surveyor)
    assert client.get(f"/jobs/{job.reference}/journal/").status_code == 403
