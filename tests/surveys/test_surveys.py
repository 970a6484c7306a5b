import json
from datetime import date, timedelta
from uuid import uuid4

import pytest
from django.db import IntegrityError, transaction
from django.utils import timezone

from jobs.journal_types import JournalType
from jobs.models import JournalEntry
from jobs.services import diary
from surveys.models import Reading, Survey
from surveys.services.instruments import change_instrument
from tests import factories
from tests.api import pointers, signed_in

pytestmark = pytest.mark.django_db

PATH = "/api/v1/surveys/"


def test_a_surveyor_sees_at_once_what_is_clear_in_the_opening(surveyor, survey_body):
    answer = signed_in(surveyor).post(PATH, survey_body)
    assert answer.status_code == 201, answer.content
    assessment = answer.json()["assessment"]
    assert not assessment["contradictory"]
    # Closed form: plumb jambs 3612 apart but for a lean of 1 mm leave 3611.
    assert assessment["clear_width"]["value"] == pytest.approx(3611, abs=1.5)
    assert assessment["rule_set"] == factories.NEWEST_RULE_SET


def test_the_readings_come_back_as_they_were_sent(surveyor, survey_body):
    shuffled = list(reversed(factories.READINGS["widths"]))
    survey_body["readings"] = factories.READINGS | {"widths": shuffled}
    answer = signed_in(surveyor).post(PATH, survey_body)
    sent, stored = survey_body["readings"], answer.json()["readings"]
    assert {name: stored[name] for name in sent} == sent
    assert answer.json()["conditions"] == survey_body["conditions"]


def test_levels_and_plumb_readings_may_be_missing(surveyor, survey_body):
    names = ("widths", "heights", "diagonals")
    survey_body["readings"] = {name: factories.READINGS[name] for name in names}
    del survey_body["level_instrument"]
    answer = signed_in(surveyor).post(PATH, survey_body)
    assert answer.status_code == 201, answer.content
    assert answer.json()["level_instrument"] is None


def test_the_journal_holds_every_reading(surveyor, survey_body):
    signed_in(surveyor).post(PATH, survey_body)
    entry = JournalEntry.objects.get(type=JournalType.SURVEY_RECORDED)
    readings = json.loads(entry.text)["body"]["readings"]
    assert len(readings) == Reading.objects.count()
    assert {"quantity": "diagonal_rising", "at": None, "value": 4186} in readings


def test_a_misread_diagonal_is_stored_and_named_as_the_suspect(surveyor, survey_body):
    survey_body["readings"] = factories.contradictory_readings()
    assessment = signed_in(surveyor).post(PATH, survey_body).json()["assessment"]
    assert assessment["contradictory"]
    worst = assessment["suspect_readings"][0]
    assert worst["reading"] == "diagonals.rising"
    # Closed form: the diagonal of 3612 by 2115 is 4185.6.
    assert worst["likely_value"] == pytest.approx(4186, abs=5)


def test_a_repeat_is_harmless_and_another_body_a_conflict(surveyor, survey_body):
    client, body = signed_in(surveyor), {"id": str(uuid4()), **survey_body}
    first, second = client.post(PATH, body), client.post(PATH, body)
    assert (first.status_code, second.status_code) == (201, 200)
    assert first.json() == second.json()
    assert client.post(PATH, body | {"stage": "before_removal"}).status_code == 409
    assert Survey.objects.count() == 1


PLACED = [{"at": 100, "value": 3612}, {"at": 100, "value": 3611}]


@pytest.mark.parametrize(
    ("wrong", "pointer"),
    [
        ({"widths": [{"at": 100, "value": 3.612}, {"at": 9, "value": 3612}]}, "/widths/0/value"),
        ({"widths": [{"at": 100, "value": 3612}]}, "/widths"),
        ({"widths": PLACED}, "/widths/1/at"),
        ({"heights": [{"at": 0, "value": 2115}, {"at": 9000, "value": 2115}]}, "/heights/1/at"),
        ({"diagonals": {"rising": 4186}}, "/diagonals/falling"),
        ({"sill_levels": [{"at": 0, "value": 4000}]}, "/sill_levels/0/value"),
        ({"plumb": {"left": [{"at": -5, "value": 0}]}}, "/plumb/left/0/at"),
        ({"plumb": {"middle": []}}, "/plumb/middle"),
        ({"widths": [{"at": 100, "value": "3612"}, {"at": 9, "value": 3612}]}, "/widths/0/value"),
    ],
)
def test_a_reading_that_cannot_be_is_named_and_nothing_is_stored(
    surveyor, survey_body, wrong, pointer
):
    survey_body["readings"] = factories.READINGS | wrong
    answer = signed_in(surveyor).post(PATH, survey_body)
    assert pointers(answer) == [f"/readings{pointer}"]
    assert not Survey.objects.exists()
    assert not Reading.objects.exists()


def test_a_width_in_metres_is_answered_as_such(surveyor, survey_body):
    widths = [{"at": 100, "value": 3.612}, {"at": 2000, "value": 3.612}]
    survey_body["readings"] = factories.READINGS | {"widths": widths}
    assert "looks like metres" in signed_in(surveyor).post(PATH, survey_body).json()["detail"]


def test_levels_without_the_instrument_they_were_taken_with_are_refused(surveyor, survey_body):
    del survey_body["level_instrument"]
    assert pointers(signed_in(surveyor).post(PATH, survey_body)) == ["/level_instrument"]


def test_a_time_still_to_come_is_refused(surveyor, survey_body):
    survey_body["taken_at"] = (timezone.now() + timedelta(hours=1)).isoformat()
    assert pointers(signed_in(surveyor).post(PATH, survey_body)) == ["/taken_at"]


def test_a_clock_that_is_a_minute_ahead_does_not_matter(surveyor, survey_body):
    survey_body["taken_at"] = (timezone.now() + timedelta(minutes=1)).isoformat()
    assert signed_in(surveyor).post(PATH, survey_body).status_code == 201


def test_a_tape_cannot_take_levels_nor_a_level_widths(office, surveyor, survey_body):
    level = str(factories.instrument(office, **factories.LASER | {"kind": "level"}).pk)
    tape = survey_body["instrument"]
    client = signed_in(surveyor)
    with_level = client.post(PATH, survey_body | {"instrument": level})
    with_tape = client.post(PATH, survey_body | {"level_instrument": tape})
    assert pointers(with_level) == ["/instrument"]
    assert pointers(with_tape) == ["/level_instrument"]


@pytest.mark.parametrize(
    ("wrong", "pointer"),
    [
        ({"substrate": {"left": "jelly"}}, "/substrate/left"),
        ({"outside_drop": "deep"}, "/outside_drop"),
        ({"colour_of_wall": "red"}, "/colour_of_wall"),
        (
            {
                "measured_to": "finished",
                "allowances": dict.fromkeys(("left", "right", "head", "sill"), 5),
            },
            "/allowances",
        ),
        ({"asbestos_cleared": "report 7"}, "/asbestos_cleared"),
        ({"services_in_reveal": ["steam"]}, "/services_in_reveal/0"),
    ],
)
def test_a_condition_that_cannot_be_is_named(surveyor, survey_body, wrong, pointer):
    survey_body["conditions"] = factories.CONDITIONS | wrong
    named = pointers(signed_in(surveyor).post(PATH, survey_body))
    assert f"/conditions{pointer}" in named


SUSPECTED = factories.CONDITIONS | {"asbestos_suspected": True}
ANALYST = "Sampled by an analyst on 3 March, none found, report 7"


@pytest.fixture
def report(office, opening):
    """A photo of the analyst's report, kept with the survey that suspected it."""
    suspecting = factories.survey(office, opening, conditions=SUSPECTED)
    return str(factories.survey_photo(office, suspecting, caption="Report 7").pk)


def clear(person, survey_body, statement, papers):
    cleared = {"asbestos_cleared": statement, "asbestos_papers": papers}
    survey_body["conditions"] = SUSPECTED | cleared
    return signed_in(person).post(PATH, survey_body)


@pytest.mark.parametrize("mark", [".", "ok", "Report 7", "1234567890 1234567890"])
def test_asbestos_is_not_cleared_by_a_mark(surveyor, survey_body, report, mark):
    answer = clear(surveyor, survey_body, mark, [report])
    assert pointers(answer) == ["/conditions/asbestos_cleared"]
    assert "by which report" in answer.json()["errors"][0]["detail"]


def test_asbestos_is_not_cleared_without_a_report_to_show(office, surveyor, survey_body, report):
    elsewhere = factories.opening(office, factories.job(office))
    other = factories.survey_photo(office, factories.survey(office, elsewhere))
    for papers in ([], [str(other.pk)], [str(uuid4())]):
        answer = clear(surveyor, survey_body, ANALYST, papers)
        assert pointers(answer) == ["/conditions/asbestos_papers"]
    assert clear(surveyor, survey_body, ANALYST, [report]).status_code == 201


def test_asbestos_is_cleared_by_the_office_or_a_surveyor_and_by_no_fitter(
    office, fitter, opening, survey_body, report
):
    visit = factories.visit(office, opening.job, "fitting", fitter)
    survey_body |= {"visit": str(visit.pk), "stage": "before_removal"}
    answer = clear(fitter, survey_body, ANALYST, [report])
    assert pointers(answer) == ["/conditions/asbestos_cleared"]
    assert "the office or a surveyor" in answer.json()["errors"][0]["detail"]


def test_what_decides_safety_has_to_be_said(surveyor, survey_body):
    survey_body["conditions"] = {}
    named = pointers(signed_in(surveyor).post(PATH, survey_body))
    assert "/conditions/asbestos_suspected" in named
    assert "/conditions/outside_drop" in named


def test_findings_come_with_their_caution(surveyor, survey_body):
    survey_body["conditions"] = factories.CONDITIONS | {"outside_drop": 900}
    [finding] = signed_in(surveyor).post(PATH, survey_body).json()["assessment"]["findings"]
    assert finding["code"] == "guarding"
    assert "unguarded drop" in finding["caution"]


def test_an_opening_of_another_job_is_named(office, survey_body):
    elsewhere = factories.opening(office, factories.job(office))
    answer = signed_in(office).post(PATH, survey_body | {"opening": str(elsewhere.pk)})
    assert pointers(answer) == ["/opening"]


def test_a_surveyor_records_only_on_survey_visits_of_their_own(survey_body):
    stranger = factories.person("surveyor")
    named = pointers(signed_in(stranger).post(PATH, survey_body))
    assert named == ["/opening", "/visit"]


def test_a_fitter_records_before_removal_and_not_the_first(fitter, fitting_visit, survey_body):
    body = survey_body | {"visit": str(fitting_visit.pk)}
    client = signed_in(fitter)
    assert pointers(client.post(PATH, body)) == ["/visit"]
    assert client.post(PATH, body | {"stage": "before_removal"}).status_code == 201


def test_the_office_may_record_both(office, fitting_visit, survey_body):
    client = signed_in(office)
    before = survey_body | {"visit": str(fitting_visit.pk), "stage": "before_removal"}
    assert client.post(PATH, survey_body).status_code == 201
    assert client.post(PATH, before).status_code == 201


def test_a_cancelled_visit_takes_no_survey(office, survey_visit, survey_body):
    diary.cancel_visit(actor=office, visit=survey_visit, expected_version=1)
    assert pointers(signed_in(office).post(PATH, survey_body)) == ["/visit"]


def test_a_survey_of_another_persons_job_does_not_exist(office, opening):
    survey = factories.survey(office, opening)
    client = signed_in(factories.person("surveyor"))
    assert client.get(f"{PATH}{survey.pk}/").status_code == 404
    assert client.get(PATH).json()["results"] == []


def test_nobody_reads_surveys_without_signing_in(client, office, opening):
    assert client.get(f"{PATH}{factories.survey(office, opening).pk}/").status_code == 401


def test_a_page_of_surveys_costs_the_same_queries_however_many_there_are(
    office, opening, django_assert_max_num_queries
):
    client = signed_in(office)
    for _ in range(4):
        factories.survey(office, opening)
    with django_assert_max_num_queries(8):
        assert len(client.get(PATH).json()["results"]) == 4


def test_the_office_accepts_a_survey_once(office, opening):
    survey = factories.survey(office, opening)
    client, path = signed_in(office), f"{PATH}{survey.pk}/accept/"
    assert client.post(path).status_code == 428
    assert client.post(path, headers={"If-Match": '"7"'}).status_code == 412
    answer = client.post(path, headers={"If-Match": '"1"'})
    assert answer.status_code == 200
    assert answer.json()["accepted_at"] is not None
    assert client.post(path, headers={"If-Match": '"2"'}).status_code == 409


def test_a_survey_that_contradicts_itself_is_not_accepted(office, opening):
    survey = factories.survey(office, opening, readings=factories.contradictory_readings())
    answer = signed_in(office).post(f"{PATH}{survey.pk}/accept/", headers={"If-Match": '"1"'})
    assert answer.status_code == 409
    assert "Rising diagonal, bottom left to top right" in answer.json()["detail"]
    survey.refresh_from_db()
    assert survey.accepted_at is None


def test_a_survey_before_removal_needs_no_acceptance(office, opening):
    survey = factories.survey(office, opening, stage="before_removal")
    answer = signed_in(office).post(f"{PATH}{survey.pk}/accept/", headers={"If-Match": '"1"'})
    assert answer.status_code == 409


def test_a_surveyor_does_not_accept_surveys(office, opening, surveyor, survey_visit):
    survey = factories.survey(office, opening, visit=survey_visit)
    answer = signed_in(surveyor).post(f"{PATH}{survey.pk}/accept/", headers={"If-Match": '"1"'})
    assert answer.status_code == 403


def test_a_survey_keeps_the_calibration_its_instruments_had(office, opening):
    tape = factories.instrument(office, calibration_due=date(2020, 1, 1))
    laser = factories.instrument(office, **factories.LASER)
    survey = factories.survey(office, opening, instrument=tape, level_instrument=laser)
    change_instrument(
        actor=office, instrument=tape, expected_version=1, calibration_due=date(2099, 1, 1)
    )
    survey.refresh_from_db()
    assert survey.assessment.measured_with.instrument.in_calibration is False


def test_finishes_still_to_come_are_kept_free_of_the_frame(office, opening):
    plain = factories.survey(office, opening)
    allowances = {"left": 12, "right": 13, "head": 0, "sill": 0}
    tiled = factories.survey(
        office, opening, conditions=factories.CONDITIONS | {"allowances": allowances}
    )
    widths = [survey.assessment.largest_frame.width for survey in (plain, tiled)]
    assert widths[0] - widths[1] == 25


@pytest.mark.parametrize(
    "columns",
    [
        {"quantity": "width", "at": None, "value": 3600},
        {"quantity": "width", "at": 100, "value": 3600},
        {"quantity": "diagonal_rising", "at": 5, "value": 4186},
        {"quantity": "diagonal_rising", "at": None, "value": 4186},
        {"quantity": "height", "at": 1000, "value": 0},
    ],
)
def test_the_database_itself_refuses_readings_without_sense(office, opening, columns):
    survey = factories.survey(office, opening)
    with pytest.raises(IntegrityError), transaction.atomic():
        Reading.objects.create(survey=survey, **columns)


@pytest.mark.parametrize("kind", ["gauge", "level"])
def test_a_width_is_not_measured_with_what_reads_no_sizes(office, surveyor, survey_body, kind):
    short = factories.instrument(office, kind=kind, expanded_uncertainty=0.2, coverage_factor=2)
    survey_body["instrument"] = str(short.pk)
    assert pointers(signed_in(surveyor).post(PATH, survey_body)) == ["/instrument"]
    assert not Survey.objects.exists()
