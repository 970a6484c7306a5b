import pytest

from surveys.arithmetic.findings import (
    FindingLimits,
    condition_findings,
    ordered_ventilation_findings,
)

LIMITS = FindingLimits(
    drop=600,
    drop_source="Approved Document K (England)",
    height=1100,
    sphere=100,
    guarding_source="Diagram 3.1",
    ventilators=8000,
    bathroom_ventilators=4000,
    ventilation_source="Approved Document F (England), 3.15",
)


def codes(**conditions):
    return [finding.code for finding in condition_findings(conditions, LIMITS)]


def test_a_sound_opening_finds_nothing():
    assert codes(outside_drop=150, lintel_seen=True, damp_proof_course="ok") == []


def test_what_was_not_recorded_finds_nothing():
    assert codes() == []


def test_guarding_is_wanted_beyond_the_limit_only():
    """Approved Document K (England), 2013 edition, 1.41: a drop of more than 600 mm."""
    assert codes(outside_drop=600) == []
    assert codes(outside_drop=601) == ["guarding"]


def test_a_guarded_drop_is_still_told():
    [finding] = condition_findings({"outside_drop": 900, "guarding_present": True}, LIMITS)
    assert "some is there" in finding.what
    assert finding.source == "Approved Document K (England); Diagram 3.1"
    assert "1100 mm high" in finding.caution


def test_suspected_asbestos_comes_first_and_says_stop():
    found = condition_findings({"outside_drop": 900, "asbestos_suspected": True}, LIMITS)
    assert [finding.code for finding in found] == ["asbestos", "guarding"]
    assert found[0].caution.startswith("Stop")


def test_cleared_asbestos_is_no_finding():
    assert codes(asbestos_suspected=True, asbestos_cleared="Report 7") == []


@pytest.mark.parametrize("age", ["before_2000", "not_known"])
def test_what_an_old_building_hides_is_surveyed_before_it_is_opened_up(age):
    """HSE HSG264: a refurbishment survey before any work that disturbs the fabric; asbestos was
    used until November 1999."""
    [finding] = condition_findings({"built": age}, LIMITS)
    assert finding.code == "asbestos_survey"
    assert "refurbishment survey" in finding.caution
    assert codes(built=age, asbestos_cleared="Report 7") == []
    assert codes(built=age, asbestos_suspected=True) == ["asbestos"]


def test_a_building_from_2000_on_needs_no_survey_for_asbestos():
    assert codes(built="from_2000") == []


def test_who_leads_safety_among_several_contractors_is_told_or_asked():
    """CDM Regulations 2015, regulation 5: a principal contractor where there is more than one."""
    [among_others] = condition_findings({"safety_led_by": "principal_contractor"}, LIMITS)
    assert "the principal contractor leads" in among_others.what
    [unknown] = condition_findings({"safety_led_by": "not_known"}, LIMITS)
    assert "Settle it before work starts" in unknown.caution
    assert codes(safety_led_by="this_firm") == []


@pytest.mark.parametrize("state", ["damaged", "missing", "not_seen"])
def test_a_damp_proof_course_that_is_not_sound_is_a_finding(state):
    assert codes(damp_proof_course=state) == ["damp_proof_course"]


def test_a_lintel_that_nobody_saw_is_for_an_engineer():
    [finding] = condition_findings({"lintel_seen": False}, LIMITS)
    assert "structural engineer" in finding.caution


def test_services_are_named():
    [finding] = condition_findings({"services_in_reveal": ["gas", "electricity"]}, LIMITS)
    assert "gas, electricity" in finding.what


@pytest.mark.parametrize("services", [["not_known"], ["gas", "not_known"]])
def test_services_that_nobody_could_name_are_told_in_words(services):
    [finding] = condition_findings({"services_in_reveal": services}, LIMITS)
    assert "not known yet" in finding.what
    assert ("gas" in finding.what) == ("gas" in services)
    assert "_" not in finding.what


def test_a_level_threshold_needs_somewhere_for_the_water():
    assert codes(threshold="level", drainage="none") == ["drainage"]
    assert codes(threshold="level", drainage="channel") == []


def test_an_open_cavity_is_closed_before_the_frame_goes_in():
    assert codes(cavity="open") == ["cavity"]
    assert codes(cavity="closed") == []


@pytest.mark.parametrize("present", [True, False])
def test_ventilation_says_how_much_air_the_new_doorset_lets_in(present):
    """Approved Document F (England), volume 1, 2021 edition, 3.15: 8000 mm2 of equivalent area in
    habitable rooms and kitchens, 4000 mm2 in bathrooms."""
    [finding] = condition_findings({"trickle_ventilation_present": present}, LIMITS)
    assert finding.code == "trickle_ventilation"
    assert "8000 mm²" in finding.caution
    assert "4000 mm²" in finding.caution


def test_a_doorset_without_the_ventilators_of_the_old_door_is_told_before_it_is_ordered():
    """Approved Document F, 3.14: replacements have what was there, and no smaller."""
    had = {"trickle_ventilation_present": True}
    [finding] = ordered_ventilation_findings(had, "")
    assert finding.code == "ventilators_missing"
    assert ordered_ventilation_findings(had, "trickle, 8000") == ()
    assert ordered_ventilation_findings({"trickle_ventilation_present": False}, "") == ()


@pytest.mark.parametrize(("state", "found"), [("yes", 1), ("not_known", 1), ("no", 0)])
def test_who_notifies_is_to_be_settled(state, found):
    assert len(codes(notifiable=state)) == found


def test_every_finding_has_a_caution_and_a_source():
    everything = {
        "asbestos_suspected": True,
        "outside_drop": 5000,
        "services_in_reveal": ["gas"],
        "lintel_seen": False,
        "damp_proof_course": "missing",
        "threshold": "level",
        "drainage": "none",
        "trickle_ventilation_present": False,
        "notifiable": "yes",
    }
    found = condition_findings(everything, LIMITS)
    assert len(found) == 8
    assert all(finding.caution and finding.source for finding in found)
