"""Surveys as a table: a row for each reading."""

import pytest

from tests import factories
from tests.api import signed_in
from tests.tables import rows_of

pytestmark = pytest.mark.django_db

SURVEYS = "/api/v1/surveys/"


@pytest.fixture
def office():
    return factories.person("office")


def test_every_reading_is_a_row_in_mm_with_its_survey(office):
    survey = factories.survey(office, factories.opening(office, factories.job(office)))
    rows = rows_of(signed_in(office), SURVEYS, "xlsx")
    assert len(rows) == survey.readings.count()
    assert {row["Job"] for row in rows} == {survey.opening.job.reference}
    widths = [row for row in rows if row["Quantity"] == "Width"]
    assert {row["Instrument"] for row in widths} == {str(survey.instrument)}
    levels = [row for row in rows if row["Quantity"] == "Sill Level"]
    assert {row["Instrument"] for row in levels} == {str(survey.level_instrument)}
    assert [(row["Place (mm)"], row["Reading (mm)"]) for row in widths] == [
        (100, 3612),
        (1050, 3612),
        (2000, 3612),
    ]


def test_a_reading_below_zero_stays_a_number(office):
    factories.survey(office, factories.opening(office, factories.job(office)))
    for ending, read in (("xlsx", -1), ("csv", "-1.0")):
        rows = rows_of(signed_in(office), SURVEYS, ending)
        levels = [row["Reading (mm)"] for row in rows if row["Quantity"] == "Sill Level"]
        assert levels[-1] == read


def test_surveys_are_narrowed_and_seen_as_in_their_list(office):
    first, second = factories.job(office), factories.job(office)
    for job in (first, second):
        factories.survey(office, factories.opening(office, job))
    surveyor = factories.person("surveyor")
    factories.visit(office, second, "survey", surveyor)
    narrowed = f"{SURVEYS}?opening__job__reference={first.reference}"
    assert {row["Job"] for row in rows_of(signed_in(office), narrowed)} == {first.reference}
    assert {row["Job"] for row in rows_of(signed_in(surveyor), SURVEYS)} == {second.reference}
