"""What comes down on the head of a frame: the movement wanted there, and how far a lintel sags."""

import pytest

from surveys.arithmetic.head_findings import (
    LintelLimit,
    allowance_findings,
    head_joint_findings,
    lintel_joint_findings,
)
from tests import factories
from tests.checks.rule_sets import GENERAL

LIMIT = LintelLimit(share=GENERAL["lintel.span_over_deflection"], source="the firm's own limit")


def test_a_head_joint_is_held_against_the_movement_wanted():
    conditions = {"head_movement_allowance": 10}
    assert head_joint_findings(conditions, 10.0) == ()
    [finding] = head_joint_findings(conditions, 9.4)
    assert "9.4 mm" in finding.what


# A 360th of the span, as handbooks of structural design tabulate it for beams under brittle
# finishes: 10 mm at 3.6 m, 15 mm at 5.4 m, 5 mm at 1.8 m.
@pytest.mark.parametrize(("span", "sag"), [(1800, 5.0), (3600, 10.0), (5400, 15.0)])
def test_a_joint_of_as_much_as_the_lintel_may_sag_is_enough_and_a_tenth_less_is_not(span, sag):
    conditions = {"lintel_span": span}
    assert lintel_joint_findings(conditions, sag, LIMIT) == ()
    [finding] = lintel_joint_findings(conditions, sag - 0.1, LIMIT)
    assert finding.code == "lintel_deflection"
    assert f"{sag:.1f} mm (its span over 360)" in finding.what
    assert f"{sag - 0.1:.1f} mm at its least" in finding.what
    assert "structural engineer" in finding.caution
    assert finding.source == "the firm's own limit"


def test_an_allowance_that_is_less_than_the_lintel_may_sag_is_asked_about():
    conditions = {"lintel_span": 3600, "head_movement_allowance": 6}
    [finding] = allowance_findings(conditions, LIMIT)
    assert "10.0 mm" in finding.what
    assert "6 mm" in finding.what
    assert "engineer" in finding.caution
    assert allowance_findings(conditions | {"head_movement_allowance": 10}, LIMIT) == ()


def test_a_span_or_an_allowance_that_nobody_recorded_is_asked_about_by_nobody():
    assert lintel_joint_findings({}, 1.0, LIMIT) == ()
    assert allowance_findings({"lintel_span": 9000}, LIMIT) == ()
    assert allowance_findings({"head_movement_allowance": 1}, LIMIT) == ()


@pytest.mark.django_db
def test_a_survey_and_a_fit_decision_are_kept_with_what_the_lintel_calls_for(office, opening):
    recorded = {"lintel_span": 9000, "head_movement_allowance": 5}
    survey = factories.survey(office, opening, conditions=factories.CONDITIONS | recorded)
    [of_survey] = survey.assessment.findings
    assert of_survey.code == "lintel_deflection"
    decision = factories.fit_decision(office, survey, factories.doorset(office, opening))
    [of_decision] = decision.answer.findings
    assert of_decision.code == "lintel_deflection"
    assert "the firm's own limit" in of_decision.source
