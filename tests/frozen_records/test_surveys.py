"""Stored assessments and fit decisions, read through to the pages that show them."""

import pytest
from django.urls import reverse

from surveys.drawings import FittedOpening, opening_svg
from surveys.frozen import DECIDED_FIT, FIT_INPUTS
from surveys.models import FitDecision, Survey
from surveys.services.fit_decisions import answer_fit
from surveys.services.fit_rules import fit_request
from tests import factories
from tests.frozen_records import examples

pytestmark = pytest.mark.django_db


@pytest.fixture
def office():
    return factories.person("office")


@pytest.fixture
def opening(office):
    return factories.opening(office, factories.job(office))


def page_of(survey) -> str:
    return reverse("survey-result", args=[survey.job.reference, survey.opening.number, survey.pk])


@examples.of_kind("survey_assessment")
def test_an_assessment_is_shown_on_the_page_of_its_survey(client, office, opening, stored):
    survey = factories.survey(office, opening)
    Survey.objects.filter(pk=survey.pk).update(assessment=stored)
    client.force_login(office)
    answer = client.get(page_of(survey))
    page = answer.content.decode()
    assert answer.status_code == 200
    assert stored["measured_with"]["instrument"]["serial"] in page
    if stored["contradictory"]:
        assert "contradict" in page
    else:
        assert f"{stored['largest_frame']['width']} \N{MULTIPLICATION SIGN} " in page


@examples.of_kind("decided_fit")
def test_a_decision_is_shown_with_its_drawing(client, office, opening, stored):
    survey, doorset = factories.survey(office, opening), factories.doorset(office, opening)
    decision = factories.fit_decision(office, survey, doorset)
    FitDecision.objects.filter(pk=decision.pk).update(answer=stored)
    client.force_login(office)
    page = client.get(page_of(survey)).content.decode()
    assert f"{stored['probability_fits']:.1%}".replace("%", " %") in page
    assert 'data-part="frame"' in page


@examples.of_kind("fit_inputs")
def test_inputs_give_the_answer_again(office, opening, stored):
    """The decision under the rules of its set: of a format of today, as it was recorded."""
    inputs = FIT_INPUTS.read(stored)
    answer = answer_fit(fit_request(inputs, opening.job.rule_set.rules))
    if stored.get("format", 1) == FIT_INPUTS.format:
        recorded = DECIDED_FIT.read(examples.stored("decided_fit", str(DECIDED_FIT.format)))
        assert answer.verdict == recorded.verdict
        assert answer.probability_fits == pytest.approx(recorded.probability_fits, abs=0.005)
    assert opening_svg(FittedOpening.read(inputs, answer)).startswith("<svg")


def test_what_was_decided_by_an_outline_of_eight_points_says_so_and_keeps_its_answer():
    stored = examples.stored("decided_fit", "1")
    recorded = DECIDED_FIT.read(stored)
    assert recorded.method == "eight_points"
    assert recorded.verdict == stored["verdict"]
    assert recorded.probability_fits == stored["probability_fits"]
    assert not recorded.read_next
    assert DECIDED_FIT.read(examples.stored("decided_fit", "2")).method == "walls"
