"""Where water goes at a threshold, and whether a level one is level."""

import pytest

from surveys.arithmetic.threshold_findings import ThresholdLimits, threshold_findings
from tests import factories

# Approved Document M (England), volume 1, 2015 edition, 1.14: a level threshold stands up at most
# 15 mm. Ground 150 mm below the sill: common practice, no source.
LIMITS = ThresholdLimits(150, "the firm's own limit", 15, "Approved Document M")


def codes(**conditions):
    return [finding.code for finding in threshold_findings(conditions, LIMITS)]


def test_ground_above_the_sill_is_a_finding_whatever_drains_it():
    assert codes(floor_level_outside=1, drainage="channel") == ["ground_above_sill"]
    assert codes(floor_level_outside=0, drainage="channel") == []


def test_ground_nearer_than_usual_wants_a_channel():
    assert codes(floor_level_outside=-149) == ["ground_near_sill"]
    assert codes(floor_level_outside=-149, drainage="falls_away") == ["ground_near_sill"]
    assert codes(floor_level_outside=-149, drainage="gully") == []
    assert codes(floor_level_outside=-150) == []


def test_ground_that_falls_to_a_level_threshold_is_a_finding_even_with_a_channel():
    asked = {"ground_fall": "to_the_door", "drainage": "channel"}
    assert codes(**asked, threshold="level") == ["ground_falls_to_door"]
    assert codes(**asked, threshold="low") == []
    assert codes(ground_fall="to_the_door", threshold="low") == ["ground_falls_to_door"]
    assert codes(ground_fall="away", threshold="level") == []


@pytest.mark.parametrize("inside", [16, -16])
def test_a_level_threshold_wants_the_floor_inside_at_the_sill(inside):
    assert codes(threshold="level", floor_level_inside=inside) == ["floor_off_sill"]
    assert codes(threshold="low", floor_level_inside=inside) == []
    assert codes(threshold="level", floor_level_inside=15) == []


def test_every_finding_has_a_caution_and_a_source():
    conditions = {
        "floor_level_outside": 40,
        "floor_level_inside": 40,
        "ground_fall": "to_the_door",
        "threshold": "level",
    }
    found = threshold_findings(conditions, LIMITS)
    assert len(found) == 3
    assert all(finding.caution and finding.source for finding in found)


@pytest.mark.django_db
def test_a_survey_is_kept_with_what_its_threshold_calls_for(office, opening):
    recorded = {"floor_level_outside": 20, "ground_fall": "to_the_door"}
    survey = factories.survey(office, opening, conditions=factories.CONDITIONS | recorded)
    assert [finding.code for finding in survey.assessment.findings] == [
        "ground_above_sill",
        "ground_falls_to_door",
    ]
