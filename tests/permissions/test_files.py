"""Whatever is given out as a file stays data, and no cache keeps it: asked of every route."""

import pytest

from tests.permissions import who_may
from tests.permissions.test_every_route import ROWS

pytestmark = pytest.mark.django_db

PAGES_AND_RECORDS = {
    "text/html",
    "text/javascript",
    "application/json",
    "application/manifest+json",
    "application/vnd.oai.openapi",
}
ASKED = [row for row in ROWS if row.method == "GET"]
TO_KEEP = {
    "GET /calendars/{calendar}.ics",
    "GET /api/v1/documents/{document}/file/",
    "GET /fittings/{installation}/pack.pdf",
    "GET /jobs/{job}/papers/{document}/file/",
    "GET /papers/{paper_link}/",
    "GET /handover/{handover_link}/certificate/",
    "GET /jobs/export.csv",
    "GET /api/v1/jobs/?format=csv",
    "GET /api/v1/visits/?format=csv",
    "GET /api/v1/surveys/?format=csv",
    "GET /api/v1/inspections/?format=csv",
    "GET /api/v1/fixings/?format=csv",
    "GET /api/v1/junction-gaps/?format=csv",
    "GET /api/v1/defects/?format=csv",
}
TO_SHOW = {
    "GET /api/v1/maker-instructions/{instruction}/file/",
    "GET /instructions/{instruction}/",
    "GET /api/v1/photos/{photo}/image/",
    "GET /api/v1/photos/{photo}/thumbnail/",
    "GET /api/v1/site-photos/{site_photo}/image/",
    "GET /api/v1/site-photos/{site_photo}/thumbnail/",
    "GET /api/v1/set-aside/{set_aside}/image/",
    "GET /api/v1/set-aside/{set_aside}/thumbnail/",
}

# Plain text for everybody, of which witnesses keep what they like.
FOR_WITNESSES = {
    "GET /checkpoints/latest/",
    "GET /checkpoints/1/",
    "GET /checkpoints/1/1/",
}


@pytest.fixture
def answers(finished):
    """What the office is answered under each route."""
    browser = finished.browser(who_may.OFFICE)
    return {str(row): browser.get(row.address.format_map(finished.parts)) for row in ASKED}


@pytest.fixture
def files(answers):
    """Those of them that are a file."""
    return {
        route: answer
        for route, answer in answers.items()
        if answer.status_code == 200
        and route not in FOR_WITNESSES
        and answer["Content-Type"].partition(";")[0] not in PAGES_AND_RECORDS
    }


def test_every_file_that_is_given_out_is_guarded_and_either_kept_or_shown(files, answers):
    assert set(files) == TO_KEEP | TO_SHOW
    for route, answer in files.items():
        assert answer["X-Content-Type-Options"] == "nosniff", route
        assert answer["Content-Security-Policy"] == "sandbox; default-src 'none'", route
        assert {"private", "no-store"} <= set(answer["Cache-Control"].split(", ")), route
    ways = {route: answer["Content-Disposition"] for route, answer in files.items()}
    assert {route for route, way in ways.items() if way.startswith("attachment; ")} == TO_KEEP
    assert {route for route, way in ways.items() if way.startswith("inline; ")} == TO_SHOW
    assert all("filename=" in way for way in ways.values())
    for route in FOR_WITNESSES:
        assert answers[route]["X-Content-Type-Options"] == "nosniff", route
        assert answers[route]["Content-Type"] == "text/plain; charset=utf-8", route


@pytest.mark.parametrize("address", ["/jobs/export.xlsx", "/api/v1/jobs/?format=xlsx"])
def test_a_list_as_a_workbook_is_guarded_too(finished, address):
    answer = finished.browser(who_may.OFFICE).get(address)
    assert answer["Content-Security-Policy"] == "sandbox; default-src 'none'"
    assert "no-store" in answer["Cache-Control"]
    assert answer["Content-Disposition"].startswith("attachment; ")
