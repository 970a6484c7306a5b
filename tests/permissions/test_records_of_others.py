"""Whoever names another's record in a body is told that there is none."""

import pytest

from tests.permissions import who_may

pytestmark = pytest.mark.django_db

# A part of the job, the field that names it, and where a fitter sends it.
BY_FITTERS = [
    ("doorset", "doorset", "deliveries"),
    ("doorset", "doorset", "installations"),
    ("fitting_visit", "visit", "installations"),
    ("opening", "opening", "surveys"),
    ("fitting_visit", "visit", "surveys"),
    ("survey", "survey", "fit-decisions"),
    ("doorset", "doorset", "fit-decisions"),
    ("step", "step", "inspections"),
    ("installation", "installation", "fixings"),
    ("installation", "installation", "junction-gaps"),
    ("installation", "installation", "carrier-lifts"),
    ("installation", "installation", "packer-changes"),
    ("installation", "installation", "beads"),
    ("installation", "installation", "sash-records"),
    ("installation", "installation", "defects"),
    ("step", "step", "defects"),
    ("job_key", "job", "handovers"),
    ("job_key", "job", "documents"),
]
BY_SURVEYORS = [
    ("opening", "opening", "surveys"),
    ("survey_visit", "visit", "surveys"),
    ("survey", "survey", "fit-decisions"),
    ("doorset", "doorset", "fit-decisions"),
    ("job_key", "job", "documents"),
]


@pytest.mark.parametrize(("part", "field", "where"), BY_FITTERS)
def test_another_fitter_cannot_name_it(finished, part, field, where):
    assert not complains(finished, who_may.FITTER, part, field, where)
    assert complains(finished, who_may.OTHER_FITTER, part, field, where)


@pytest.mark.parametrize(("part", "field", "where"), BY_SURVEYORS)
def test_another_surveyor_cannot_name_it(finished, part, field, where):
    assert not complains(finished, who_may.SURVEYOR, part, field, where)
    assert complains(finished, who_may.OTHER_SURVEYOR, part, field, where)


def complains(finished, who: str, part: str, field: str, where: str) -> bool:
    """Whether the answer complains about this field; it always does about others."""
    body = {field: finished.parts[part]}
    browser = finished.browser(who)
    answer = browser.post(f"/api/v1/{where}/", body, content_type="application/json")
    assert answer.status_code == 400, answer.content
    errors = {error["pointer"]: error["detail"] for error in answer.json()["errors"]}
    assert errors.get(f"/{field}") in (None, "there is no such record, or you may not see it")
    return f"/{field}" in errors
