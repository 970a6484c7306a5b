"""Lists of the API as tables: jobs and visits, and what holds for every such list."""

from datetime import UTC, datetime, timedelta

import pytest

from jobs import table_file
from jobs.api.pagination import NewestFirstPagination
from jobs.services.diary import cancel_visit
from tests import factories
from tests.api import pointers, signed_in
from tests.tables import rows_of

pytestmark = pytest.mark.django_db

JOBS = "/api/v1/jobs/"
VISITS = "/api/v1/visits/"
XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"


@pytest.fixture
def office():
    return factories.person("office")


def test_a_job_is_one_row_with_its_customer_and_its_place(office):
    site = factories.site(office, address_line_2="Höfchen", town="Mühl, \u201cOst\u201d")
    job = factories.job(office, title="Two\nlines", site=site)
    for ending in ("csv", "xlsx"):
        [row] = rows_of(signed_in(office), JOBS, ending)
        assert row.pop("Taken on") == job.created_at.date().isoformat()
        assert row == {
            "Reference": job.reference,
            "Title": "Two\nlines",
            "Customer": "Customer Example",
            "Address": "1 Example Lane, Höfchen",
            "Town": "Mühl, \u201cOst\u201d",
            "Postcode": "ZZ1 1ZZ",
        }


@pytest.mark.parametrize(("ending", "media_type"), [("csv", "text/csv"), ("xlsx", XLSX)])
def test_the_form_is_asked_for_in_the_address_or_in_accept(office, ending, media_type):
    factories.job(office)
    client = signed_in(office)
    by_address = client.get(JOBS, {"format": ending})
    by_header = client.get(JOBS, headers={"Accept": f"application/xml;q=0.1, {media_type}"})
    for answer in (by_address, by_header):
        assert answer.status_code == 200
        assert answer["Content-Type"].partition(";")[0] == media_type
        assert answer["Content-Disposition"].endswith(f'.{ending}"')
        assert "Accept" in answer["Vary"]


def test_whoever_asks_for_no_form_gets_json(office):
    assert signed_in(office).get(JOBS).json()["results"] == []
    assert signed_in(office).get(JOBS, headers={"Accept": "*/*"}).json()["results"] == []


def test_a_single_record_is_no_table(office):
    job = factories.job(office)
    assert signed_in(office).get(f"{JOBS}{job.reference}/?format=csv").status_code == 404


def test_all_that_the_filters_leave_is_in_it_newest_first_and_without_pages(office, monkeypatch):
    monkeypatch.setattr(NewestFirstPagination, "page_size", 1)
    site = factories.site(office)
    here = [factories.job(office, site=site).reference for _ in range(3)]
    factories.job(office)
    rows = rows_of(signed_in(office), f"{JOBS}?site={site.pk}&page_size=1")
    assert [row["Reference"] for row in rows] == here[::-1]


def test_a_filter_that_cannot_be_read_is_told_as_of_any_list(office):
    answer = signed_in(office).get(JOBS, {"format": "csv", "updated_since": "soon"})
    assert pointers(answer) == ["/updated_since"]


def test_only_what_the_person_may_see_is_in_it(office):
    fitter = factories.person("fitter")
    own = factories.visit(office, factories.job(office), "fitting", fitter)
    factories.visit(office, factories.job(office), "fitting", factories.person("fitter"))
    for path, column in ((JOBS, "Reference"), (VISITS, "Job")):
        assert [row[column] for row in rows_of(signed_in(fitter), path)] == [own.job.reference]


def test_too_many_rows_are_refused_and_narrowing_is_told(office, monkeypatch):
    monkeypatch.setattr(table_file, "MOST_ROWS", 2)
    jobs = [factories.job(office) for _ in range(3)]
    client = signed_in(office)
    refused = client.get(JOBS, {"format": "xlsx"})
    assert pointers(refused) == [""]
    assert "more than 2 rows" in refused.json()["detail"]
    assert len(rows_of(client, f"{JOBS}?customer={jobs[0].customer_id}")) == 1


def test_no_cell_is_run_as_a_formula_and_none_stops_a_workbook(office):
    factories.job(office, title="=1+1\x07")
    for ending in ("csv", "xlsx"):
        [row] = rows_of(signed_in(office), JOBS, ending)
        assert row["Title"] == "'=1+1"


def test_times_of_a_visit_are_those_of_the_firm_with_their_zone(office):
    begins = datetime(2099, 6, 1, 8, tzinfo=UTC)
    times = {"start": begins, "end": begins + timedelta(hours=2)}
    visit = factories.visit(
        office, factories.job(office), "survey", factories.person("surveyor"), **times
    )
    [row] = rows_of(signed_in(office), VISITS)
    assert row == {
        "Job": visit.job.reference,
        "Kind": "Survey",
        "Crew": visit.crew.name,
        "Begins": "2099-06-01T09:00+01:00",
        "Ends": "2099-06-01T11:00+01:00",
        "Address": "1 Example Lane, Sampleton, ZZ1 1ZZ",
        "Cancelled": "",
    }


def test_a_cancelled_visit_says_no_more_where_it_was_to_be(office):
    fitter = factories.person("fitter")
    visit = factories.visit(office, factories.job(office), "fitting", fitter)
    cancel_visit(actor=office, visit=visit, expected_version=1)
    [row] = rows_of(signed_in(fitter), VISITS)
    assert row["Cancelled"]
    assert row["Address"] == ""


def test_a_table_costs_the_same_however_many_rows_it_has(office, django_assert_max_num_queries):
    client = signed_in(office)
    for _ in range(4):
        factories.visit(office, factories.job(office), "fitting", factories.person("fitter"))
    for path in (JOBS, VISITS):
        with django_assert_max_num_queries(5):
            assert len(rows_of(client, path)) == 4
