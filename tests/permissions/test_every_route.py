"""Every route, asked by everybody: each answers as the tables `routes_of_*.py` say."""

import pytest
from django.contrib import admin
from django.urls import URLPattern

from tests.permissions import (
    routes_of_config,
    routes_of_installs,
    routes_of_jobs,
    routes_of_reports,
    routes_of_surveys,
    who_may,
)
from tests.permissions.routes import METHODS, Row, asked, every_route, is_refused_as_method

pytestmark = pytest.mark.django_db

TABLES = (
    routes_of_jobs,
    routes_of_surveys,
    routes_of_installs,
    routes_of_reports,
    routes_of_config,
)
ROWS = [Row.read(name, expected) for table in TABLES for name, expected in table.ROUTES.items()]
LISTS = [row for row in ROWS if row.method == "GET" and "{" not in row.address]
# What everybody who is signed in may know, whatever job it came from.
KNOWN_TO_ALL = {"rule_set", "profile_system", "instrument"}
# Whoever had a visit that was cancelled goes on seeing that it was, and at which job.
KNOWN_FROM_OWN_VISITS = {
    "/api/v1/visits/": {"job_key"},
    "/api/v1/visits/?format=csv": {"job"},
}


def test_every_route_has_a_row(finished):
    with_a_row = {row.route(finished) for row in ROWS}
    without = set(every_route()) - with_a_row
    assert not without, "say who may at: " + ", ".join(sorted(without))


def test_nothing_answers_a_method_that_has_no_row(finished):
    """Asked by the office, for whom the most doors are open."""
    rows = {(row.method, row.route(finished)) for row in ROWS}
    address_of = {row.route(finished): row.address.format_map(finished.parts) for row in ROWS}
    office = finished.browser(who_may.OFFICE)
    answering = [
        f"{method} {route}"
        for route, address in address_of.items()
        for method in METHODS
        if (method, route) not in rows and not is_refused_as_method(office, method, address)
    ]
    assert not answering, "say who may: " + ", ".join(answering)


@pytest.mark.parametrize("row", ROWS, ids=str)
def test_whoever_asks_gets_the_answer_of_the_table(finished, row):
    address = row.address.format_map(finished.parts)
    answers = {who: asked(finished.browser(who), row.method, address) for who in who_may.EVERYBODY}
    assert answers == row.expected


@pytest.mark.parametrize("row", LISTS, ids=str)
@pytest.mark.parametrize(
    "who", [who_may.OTHER_SURVEYOR, who_may.OTHER_FITTER, who_may.OTHER_SUBCONTRACTOR]
)
def test_no_list_names_to_a_stranger_what_belongs_to_the_job(finished, row, who):
    answer = finished.browser(who).get(row.address)
    content = b"".join(answer) if answer.streaming else answer.content
    named = {name for name, key in finished.parts.items() if key.encode() in content}
    assert named - KNOWN_TO_ALL - KNOWN_FROM_OWN_VISITS.get(row.address, set()) == set()


def test_the_admin_is_for_none_of_them(finished):
    pages = [page for page in admin.site.urls[0] if isinstance(page, URLPattern)]
    for address in ["/admin/", *(f"/admin/{page.pattern}" for page in pages)]:
        path = address.replace("<path:url>", "jobs/job/").replace("^", "").split("(")[0]
        for who in who_may.EVERYBODY:
            assert finished.browser(who).get(path).status_code in (302, 404), path
