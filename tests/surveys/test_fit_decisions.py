from uuid import uuid4

import pytest

from surveys.arithmetic.placement import Clearance
from surveys.models import FitDecision
from surveys.services.instruments import change_instrument
from tests import factories
from tests.api import pointers, signed_in

pytestmark = pytest.mark.django_db

PATH = "/api/v1/fit-decisions/"


def body(survey, doorset):
    return {"survey": str(survey.pk), "doorset": str(doorset.pk)}


def test_a_frame_that_fits_is_decided_to_fit(office, opening):
    survey, doorset = factories.survey(office, opening), factories.doorset(office, opening)
    answer = signed_in(office).post(PATH, body(survey, doorset))
    assert answer.status_code == 201, answer.content
    decided = answer.json()
    assert decided["verdict"] == "fits"
    assert decided["frame"] == {"width": 3590, "height": 2100}
    assert decided["probability_fits"] >= decided["inputs"]["confidence"] == 0.95


def test_the_clearance_of_the_rule_set_is_kept_by_the_opening_width(office, opening):
    survey, doorset = factories.survey(office, opening), factories.doorset(office, opening)
    inputs = factories.fit_decision(office, survey, doorset).inputs
    # Published: design row "gap per side", 3.0 to 4.5 m: 7.5 mm, greatest gap over 3 m: 15 mm.
    assert inputs.clearance == Clearance(left=7.5, right=7.5, head=5.0, sill=0.0)
    assert inputs.maximum_joint == 15.0


def test_the_rule_of_thumb_size_of_a_leaning_opening_does_not_fit(office, opening):
    """Every width reads 3612, but the jambs lean 14 mm: closed form, 3598 is clear."""
    leaning = [{"at": 0, "value": 0}, {"at": 2115, "value": 14}]
    readings = factories.READINGS | {
        "diagonals": {"rising": 4198, "falling": 4174},
        "plumb": {"left": leaning, "right": leaning},
    }
    survey = factories.survey(office, opening, readings=readings)
    doorset = factories.doorset(office, opening, frame={"width": 3597, "height": 2100})
    decision = factories.fit_decision(office, survey, doorset)
    assert decision.verdict == "does_not_fit"
    assert decision.answer.clear_width.value == pytest.approx(3598, abs=1.5)
    assert decision.largest_frame.width <= 3598 - 15


def test_a_set_that_contradicts_itself_never_fits(office, opening):
    survey = factories.survey(office, opening, readings=factories.contradictory_readings())
    decision = factories.fit_decision(office, survey, factories.doorset(office, opening))
    assert decision.verdict == "inconclusive"
    assert "diagonals.rising" in decision.answer.warnings[0]


def test_the_frozen_inputs_give_the_frozen_answer_again(office, opening):
    survey, doorset = factories.survey(office, opening), factories.doorset(office, opening)
    client = signed_in(office)
    decided = client.post(PATH, body(survey, doorset)).json()
    again = client.post("/api/v1/calculations/opening-fit/", decided["inputs"])
    assert again.status_code == 200, again.content
    findings = decided["answer"].pop("findings")
    assert findings == []
    assert again.json() == decided["answer"]


def test_a_decision_goes_by_the_instruments_as_they_were_on_the_day(office, opening):
    laser = factories.instrument(office, **factories.LASER)
    survey = factories.survey(
        office, opening, instrument=factories.instrument(office), level_instrument=laser
    )
    change_instrument(actor=office, instrument=laser, expected_version=1, expanded_uncertainty=9.0)
    decision = factories.fit_decision(office, survey, factories.doorset(office, opening))
    assert decision.inputs.level_instrument["expanded_uncertainty"] == 1.0


def test_a_head_joint_under_the_movement_allowance_is_a_finding(office, opening):
    conditions = factories.CONDITIONS | {"head_movement_allowance": 20}
    survey = factories.survey(office, opening, conditions=conditions)
    decision = factories.fit_decision(office, survey, factories.doorset(office, opening))
    [finding] = decision.answer.findings
    assert finding.code == "head_movement"
    assert "structural engineer" in finding.caution


def test_before_removal_the_frame_is_decided_as_it_was_delivered(office, opening):
    doorset = factories.ordered_doorset(office, opening)
    factories.delivery(office, doorset, frame={"width": 3591, "height": 2101})
    survey = factories.survey(office, opening, stage="before_removal")
    decision = factories.fit_decision(office, survey, doorset)
    assert (decision.frame_width, decision.frame_height) == (3591, 2101)


def test_before_removal_nothing_is_decided_without_a_delivery(office, opening):
    doorset = factories.ordered_doorset(office, opening)
    survey = factories.survey(office, opening, stage="before_removal")
    answer = signed_in(office).post(PATH, body(survey, doorset))
    assert pointers(answer) == ["/doorset"]
    assert "delivery" in answer.json()["detail"]


def test_a_doorset_of_another_opening_is_named(office, opening):
    survey = factories.survey(office, opening)
    elsewhere = factories.doorset(office, factories.opening(office, opening.job, "Side wall"))
    assert pointers(signed_in(office).post(PATH, body(survey, elsewhere))) == ["/doorset"]
    assert not FitDecision.objects.exists()


def test_a_superseded_doorset_is_named(office, opening):
    first = factories.ordered_doorset(office, opening)
    factories.doorset(office, opening, fold="5-3-2")
    survey = factories.survey(office, opening)
    assert pointers(signed_in(office).post(PATH, body(survey, first))) == ["/doorset"]


def test_a_repeat_is_harmless_and_another_body_a_conflict(office, opening):
    survey, doorset = factories.survey(office, opening), factories.doorset(office, opening)
    client, sent = signed_in(office), {"id": str(uuid4()), **body(survey, doorset)}
    assert client.post(PATH, sent).status_code == 201
    assert client.post(PATH, sent).status_code == 200
    other = sent | {"survey": str(factories.survey(office, opening).pk)}
    assert client.post(PATH, other).status_code == 409
    assert FitDecision.objects.count() == 1


def test_a_surveyor_decides_about_their_own_survey_only(office, opening, surveyor, survey_visit):
    survey = factories.survey(office, opening, visit=survey_visit)
    sent = body(survey, factories.doorset(office, opening))
    assert signed_in(surveyor).post(PATH, sent).status_code == 201
    stranger = signed_in(factories.person("surveyor"))
    assert pointers(stranger.post(PATH, sent)) == ["/survey", "/doorset"]
    assert stranger.get(PATH).json()["results"] == []
