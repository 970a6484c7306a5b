"""What a defect report says of the defects of a job."""

import pytest

from tests import factories
from tests.reports.long_job import DEFECTS
from tests.reports.papers import Paper, paper_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def report(long_papers) -> Paper:
    return long_papers["defect_report"]


PLACES = {"sash 2": "sash 2", "junction 3": "junction 3", "left 850": "left jamb at 850 mm"}


def test_every_defect_stands_with_its_severity_step_and_place(report):
    for number, defect in enumerate(report.facts["defects"], start=1):
        step = f", step {defect['step']}" if defect["step"] else ""
        place = f", {PLACES[defect['place']]}" if defect["place"] else ""
        heading = f"{number} · {defect['severity'].capitalize()} · opening 1{step}{place}"
        assert f"{heading} " in report.text
        assert defect["description"] in report.text


def test_who_found_mended_and_inspected_it_stands_there_and_when(report):
    mended = next(defect for defect in report.facts["defects"] if defect["closed_at"])
    passage = report.text.partition(mended["description"])[2][:400]
    for person in (mended["found_by"], mended["put_right_by"], mended["reinspected_by"]):
        assert person in passage
    assert "packed anew" in passage
    assert "Responsible crew" in passage


def test_what_has_not_happened_yet_is_said(report):
    still_open = next(defect for defect in report.facts["defects"] if not defect["put_right_at"])
    passage = report.text.partition(still_open["description"])[2][:300]
    assert "Put right not yet Inspected again not yet" in passage


def test_the_summary_adds_up(report):
    defects = report.facts["defects"]
    for severity in ("critical", "major", "minor"):
        of_severity = [defect for defect in defects if defect["severity"] == severity]
        conceded = sum(defect["conceded"] for defect in of_severity)
        closed = sum(bool(d["closed_at"]) and not d["conceded"] for d in of_severity)
        still_open = len(of_severity) - conceded - closed
        row = f"{severity} {len(of_severity)} {still_open} 0 0 {closed} {conceded}"
        assert row in report.text
    assert f"Recorded so far: {DEFECTS}." in report.text


def test_an_open_critical_defect_is_a_warning_on_the_first_page(report):
    assert "! A critical defect is open Somebody can be hurt." in report.pages[0]


def test_what_was_conceded_stands_with_its_reason(report):
    assert "It cannot be seen from the room" in report.text
    assert "accepted by concession" in report.text


def test_a_job_without_a_defect_says_so():
    report = paper_of(factories.job(factories.person("office")), "defect_report")
    assert "None was recorded." in report.text
    assert "critical defect" not in report.text
