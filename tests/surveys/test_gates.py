import json
from datetime import date, timedelta
from math import hypot

import pytest
from django.utils import timezone

from jobs.errors import GateClosed
from jobs.models import ProfileSystem
from jobs.services import doorsets
from jobs.services.catalogue import change_profile_system
from surveys.gates import (
    open_wall_gate_for,
    order_gate,
    order_gate_of,
    removal_gate,
    removal_gate_of,
)
from surveys.services.instruments import change_instrument
from surveys.services.orders import order_doorset
from tests import factories

pytestmark = pytest.mark.django_db

UNSAFE = {"layers": [{"glass": 6}, {"cavity": 16, "gas": {"argon": 1.0}}, {"glass": 4}]}


def codes(blockers):
    return [blocker.code for blocker in blockers]


# --- order


def test_nothing_is_ordered_before_there_is_a_doorset_and_a_survey(opening):
    assert codes(order_gate_of(opening)) == ["doorset", "survey"]


def test_a_survey_has_to_be_accepted(office, opening):
    factories.doorset(office, opening)
    survey = factories.survey(office, opening)
    [blocker] = order_gate_of(opening)
    assert blocker.what == "accept the survey"
    assert blocker.record["id"] == str(survey.pk)


def test_a_contradictory_survey_has_to_be_taken_again(office, opening):
    factories.doorset(office, opening)
    factories.survey(office, opening, readings=factories.contradictory_readings())
    [blocker] = order_gate_of(opening)
    assert blocker.what == "measure the opening again"
    assert "Rising diagonal, bottom left to top right" in blocker.why


def narrower_by(mm: int) -> dict:
    """The opening of the factories with the right jamb nearer by this much."""
    width = 3612 - mm
    diagonal = round(hypot(width, 2115))
    return factories.READINGS | {
        "widths": [{"at": at, "value": width} for at in (100, 1050, 2000)],
        "heights": [{"at": at, "value": 2115} for at in (100, 1800, width - 100)],
        "diagonals": {"rising": diagonal, "falling": diagonal},
        "sill_levels": [{"at": at, "value": 0} for at in (0, 1800, width)],
        **factories.flat_and_square(width, 2115),
    }


def test_a_newer_survey_that_nobody_accepted_stops_the_order_of_a_frame_that_fits_the_older_one(
    office, opening
):
    doorset = factories.doorset(office, opening)
    factories.fit_decision(office, factories.accepted_survey(office, opening), doorset)
    assert order_gate_of(opening) == []
    newer = factories.survey(office, opening, readings=narrower_by(40))
    [blocker] = order_gate_of(opening)
    assert blocker.what == "accept the newer survey and decide by it, or measure again"
    assert (blocker.code, blocker.record["id"]) == ("survey", str(newer.pk))


def test_once_the_newer_survey_is_accepted_the_frame_is_decided_by_it(office, opening):
    doorset = factories.doorset(office, opening)
    factories.fit_decision(office, factories.accepted_survey(office, opening), doorset)
    newer = factories.accepted_survey(office, opening, readings=narrower_by(40))
    assert codes(order_gate_of(opening)) == ["fit"]
    assert factories.fit_decision(office, newer, doorset).verdict == "does_not_fit"
    assert codes(order_gate_of(opening)) == ["fit"]


def test_a_newer_survey_that_contradicts_itself_says_nothing_against_the_order(office, opening):
    doorset = factories.doorset(office, opening)
    factories.fit_decision(office, factories.accepted_survey(office, opening), doorset)
    factories.survey(office, opening, readings=factories.contradictory_readings())
    assert order_gate_of(opening) == []


def test_an_accepted_survey_still_wants_a_fit_decision(office, opening):
    factories.doorset(office, opening)
    factories.accepted_survey(office, opening)
    [blocker] = order_gate_of(opening)
    assert blocker.code == "fit"
    assert "3590 x 2100 mm" in blocker.what


def test_a_frame_that_fits_by_an_accepted_survey_may_be_ordered(office, opening):
    doorset = factories.doorset(office, opening)
    factories.fit_decision(office, factories.accepted_survey(office, opening), doorset)
    assert order_gate_of(opening) == []


def test_a_frame_that_does_not_fit_is_blocked_with_the_largest_that_does(office, opening):
    doorset = factories.doorset(office, opening, frame={"width": 3605, "height": 2100})
    survey = factories.accepted_survey(office, opening)
    decision = factories.fit_decision(office, survey, doorset)
    [blocker] = order_gate_of(opening)
    assert f"order at most {decision.largest_frame.width} x" in blocker.what
    assert not blocker.concedable


@pytest.mark.parametrize("frame", [(3589, 2100), (3590, 2099)], ids=["width", "height"])
def test_a_decision_about_another_size_does_not_count(office, opening, frame):
    doorset = factories.doorset(office, opening)
    factories.fit_decision(office, factories.accepted_survey(office, opening), doorset)
    doorsets.change_doorset(
        actor=office,
        doorset=doorset,
        expected_version=1,
        frame=dict(zip(("width", "height"), frame, strict=True)),
    )
    assert codes(order_gate_of(opening)) == ["fit"]


def test_a_frame_that_may_fit_is_not_ordered(office, opening):
    """Between one that surely fits and one that surely does not."""
    doorset = factories.doorset(office, opening, frame={"width": 3596, "height": 2100})
    decision = factories.fit_decision(office, factories.accepted_survey(office, opening), doorset)
    assert decision.verdict == "inconclusive"
    assert codes(order_gate_of(opening)) == ["fit"]


def test_a_newer_accepted_survey_wants_a_decision_of_its_own(office, opening):
    doorset = factories.doorset(office, opening)
    earlier = timezone.now() - timedelta(minutes=2)
    old = factories.accepted_survey(office, opening, taken_at=earlier)
    factories.fit_decision(office, old, doorset)
    factories.accepted_survey(office, opening)
    assert codes(order_gate_of(opening)) == ["fit"]


def test_readings_of_an_instrument_out_of_calibration_do_not_count(office, opening):
    tape = factories.instrument(office, calibration_due=date(2020, 1, 1))
    laser = factories.instrument(office, **factories.LASER)
    survey = factories.accepted_survey(office, opening, instrument=tape, level_instrument=laser)
    factories.fit_decision(office, survey, factories.doorset(office, opening))
    change_instrument(
        actor=office, instrument=tape, expected_version=1, calibration_due=date(2099, 1, 1)
    )
    assert codes(order_gate_of(opening)) == ["calibration"]


WIDE = factories.READINGS | {
    "widths": [{"at": at, "value": 6012} for at in (100, 1050, 2000)],
    "heights": [{"at": at, "value": 2115} for at in (100, 3000, 5900)],
    "diagonals": {"rising": 6373, "falling": 6373},
    "sill_levels": [],
    "plumb": {},
}
RULE = {"checks": {"known_lengths": [{"length": 1000, "value": 1000}]}}


@pytest.mark.parametrize(("more", "wanted"), [({}, ["second_instrument"]), (RULE, [])])
def test_a_wide_frame_is_ordered_once_something_else_than_one_tape_was_asked(
    office, opening, more, wanted
):
    frame = {"width": 5980, "height": 2100}
    doorset = factories.doorset(office, opening, fold="8-5-3", frame=frame)
    survey = factories.accepted_survey(office, opening, readings=WIDE | more)
    factories.fit_decision(office, survey, doorset)
    blockers = [b for b in order_gate_of(opening) if b.code == "second_instrument"]
    assert codes(blockers) == wanted
    assert not any(blocker.concedable for blocker in blockers)


def test_leaves_beyond_the_profile_system_are_blocked(office, opening):
    system = factories.profile_system(office, largest_leaf_mass=30)
    doorset = factories.doorset(office, opening, profile_system=system)
    factories.fit_decision(office, factories.accepted_survey(office, opening), doorset)
    assert codes(order_gate_of(opening)) == ["profile_limit"] * 5


def tightened(office, doorset, **limits):
    system = doorset.profile_system
    return change_profile_system(
        actor=office,
        profile_system=system,
        expected_version=ProfileSystem.objects.get(pk=system.pk).version,
        **limits,
    )


def test_a_draft_is_held_to_the_limits_of_the_day_of_its_order(office, opening):
    doorset = factories.doorset(office, opening)
    factories.fit_decision(office, factories.accepted_survey(office, opening), doorset)
    assert order_gate_of(opening) == []
    tightened(office, doorset, largest_leaf_mass=20)
    assert set(codes(order_gate_of(opening))) == {"profile_limit"}
    with pytest.raises(GateClosed, match="choose more leaves"):
        order_doorset(actor=office, doorset=doorset, expected_version=doorset.version)
    tightened(office, doorset, largest_leaf_mass=100, psi=0.09)
    drafted = doorset.calculation.thermal.u_value
    ordered = order_doorset(actor=office, doorset=doorset, expected_version=doorset.version)
    assert ordered.calculation.thermal.u_value > drafted


def test_a_draft_of_what_is_no_longer_offered_says_so(office, opening):
    doorset = factories.doorset(office, opening)
    factories.fit_decision(office, factories.accepted_survey(office, opening), doorset)
    tightened(office, doorset, head_fixing=["through_track"])
    [blocker] = order_gate_of(opening)
    assert blocker.code == "doorset"
    assert "through_track" in blocker.why


def test_unsafe_glass_is_never_conceded(office, opening):
    doorset = factories.doorset(office, opening, glazing=UNSAFE)
    factories.fit_decision(office, factories.accepted_survey(office, opening), doorset)
    blockers = order_gate_of(opening)
    assert set(codes(blockers)) == {"unsafe_glass"}
    assert not any(blocker.concedable for blocker in blockers)
    assert "unsafe_glass" not in opening.job.rule_set.rules["concession.allowed"]


def test_the_order_gate_of_a_job_is_that_of_all_its_openings(office, opening):
    factories.ordered_doorset(office, opening)
    side = factories.opening(office, opening.job, "Side wall")
    assert {blocker.record["id"] for blocker in order_gate(opening.job)} == {str(side.pk)}


def test_a_job_without_an_opening_has_nothing_to_order(office):
    assert codes(order_gate(factories.job(office))) == ["opening"]


def test_what_a_gate_says_is_plain_json(opening):
    assert json.dumps([blocker.record for blocker in order_gate_of(opening)])


# --- removal


def test_the_old_door_stays_until_the_new_one_is_ordered_and_has_arrived(office, opening):
    assert codes(removal_gate_of(opening)) == ["order"]
    factories.ordered_doorset(office, opening)
    assert codes(removal_gate_of(opening)) == ["delivery"]


def test_the_opening_is_measured_again_before_removal(office, opening):
    factories.delivery(office, factories.ordered_doorset(office, opening))
    assert codes(removal_gate_of(opening)) == ["survey_before_removal"]


def test_a_delivered_frame_that_fits_releases_removal(office, opening):
    factories.released_doorset(office, opening)
    assert removal_gate(opening.job) == []


def test_a_delivered_frame_without_a_decision_releases_nothing(office, opening):
    factories.delivery(office, factories.ordered_doorset(office, opening))
    factories.survey(office, opening, stage="before_removal")
    assert codes(removal_gate_of(opening)) == ["fit"]


def test_a_wall_that_moved_since_the_order_keeps_the_old_door_in(office, opening):
    ordered = factories.ordered_doorset(office, opening)
    factories.delivery(office, ordered)
    narrower = factories.READINGS | {
        "widths": [{"at": at, "value": 3600} for at in (100, 1050, 2000)],
        "diagonals": {"rising": 4175, "falling": 4175},
    }
    survey = factories.survey(office, opening, stage="before_removal", readings=narrower)
    factories.fit_decision(office, survey, ordered)
    [blocker] = removal_gate_of(opening)
    assert blocker.what.startswith("leave the old door in")


def test_a_contradictory_survey_releases_nothing(office, opening):
    ordered = factories.ordered_doorset(office, opening)
    factories.delivery(office, ordered)
    readings = factories.contradictory_readings()
    survey = factories.survey(office, opening, stage="before_removal", readings=readings)
    factories.fit_decision(office, survey, ordered)
    [blocker] = removal_gate_of(opening)
    assert "Rising diagonal, bottom left to top right" in blocker.why


# --- with the old door out

# 12 mm narrower than the sound opening: a frame of 3590 mm has no clearance left.
NARROWER = factories.READINGS | {
    "widths": [{"at": at, "value": 3600} for at in (100, 1050, 2000)],
    "diagonals": {"rising": 4175, "falling": 4175},
}


def test_as_long_as_nobody_measured_with_the_old_door_out_nothing_is_against_the_frame(
    office, opening
):
    assert open_wall_gate_for(factories.released_doorset(office, opening)) == []


def test_a_wall_that_turns_out_narrower_than_the_frame_keeps_the_frame_out(office, opening):
    doorset = factories.released_doorset(office, opening)
    survey = factories.survey(office, opening, stage="after_removal", readings=NARROWER)
    assert codes(open_wall_gate_for(doorset)) == ["fit"]
    factories.fit_decision(office, survey, doorset)
    [blocker] = open_wall_gate_for(doorset)
    assert blocker.what.startswith("do not force the frame in")
    assert not blocker.concedable


def test_an_opening_made_good_and_measured_again_takes_the_frame(office, opening):
    doorset = factories.released_doorset(office, opening)
    earlier = timezone.now() - timedelta(minutes=2)
    narrow = factories.survey(
        office, opening, stage="after_removal", readings=NARROWER, taken_at=earlier
    )
    factories.fit_decision(office, narrow, doorset)
    made_good = factories.survey(office, opening, stage="after_removal")
    factories.fit_decision(office, made_good, doorset)
    assert open_wall_gate_for(doorset) == []


def test_readings_with_the_old_door_out_that_contradict_each_other_decide_nothing(office, opening):
    doorset = factories.released_doorset(office, opening)
    readings = factories.contradictory_readings()
    factories.survey(office, opening, stage="after_removal", readings=readings)
    [blocker] = open_wall_gate_for(doorset)
    assert "Rising diagonal, bottom left to top right" in blocker.why


def test_the_old_door_is_not_out_while_it_may_not_come_out(office, opening):
    factories.ordered_doorset(office, opening)
    with pytest.raises(GateClosed) as closed:
        factories.survey(office, opening, stage="after_removal")
    assert closed.value.gate == "removal"
    assert codes(closed.value.blockers) == ["delivery"]


@pytest.mark.parametrize(
    ("delivered", "code"),
    [
        ({"accepted": False, "damage": "bent sill"}, "delivery"),
        ({"frame": {"width": 3593, "height": 2100}}, "delivered_size"),
        ({"frame": {"width": 3590, "height": 2097}}, "delivered_size"),
        ({"leaves_counted": 4}, "leaves"),
    ],
)
def test_a_delivery_that_is_not_what_was_ordered_keeps_the_old_door_in(
    office, opening, delivered, code
):
    factories.delivery(office, factories.ordered_doorset(office, opening), **delivered)
    assert code in codes(removal_gate_of(opening))


def test_a_frame_within_the_tolerance_of_delivery_is_taken(office, opening):
    size = {"width": 3588, "height": 2102}
    factories.delivery(office, factories.ordered_doorset(office, opening), frame=size)
    assert codes(removal_gate_of(opening)) == ["survey_before_removal"]


def test_suspected_asbestos_stops_removal_until_a_survey_says_how_it_was_cleared(office, opening):
    suspected = factories.CONDITIONS | {"asbestos_suspected": True}
    suspecting = factories.survey(office, opening, conditions=suspected)
    report = factories.survey_photo(office, suspecting, caption="Report 7")
    cleared = suspected | {
        "asbestos_cleared": "Sampled by an analyst, none, report 7",
        "asbestos_papers": [str(report.pk)],
    }
    ordered = factories.released_doorset(office, opening)
    [blocker] = removal_gate_of(opening)
    assert blocker.code == "asbestos"
    assert not blocker.concedable
    survey = factories.survey(office, opening, stage="before_removal", conditions=cleared)
    factories.fit_decision(office, survey, ordered)
    assert removal_gate_of(opening) == []


def test_an_old_building_is_surveyed_for_asbestos_once_before_it_is_opened_up(office, opening):
    old = factories.CONDITIONS | {"built": "before_2000"}
    report = factories.survey_photo(office, factories.survey(office, opening, conditions=old))
    ordered = factories.released_doorset(office, opening)
    [blocker] = removal_gate_of(opening)
    assert (blocker.code, blocker.concedable) == ("asbestos", False)
    assert blocker.why.startswith("built: before 2000")
    surveyed = old | {
        "asbestos_cleared": "Refurbishment survey 12, nothing found",
        "asbestos_papers": [str(report.pk)],
    }
    survey = factories.survey(office, opening, stage="before_removal", conditions=surveyed)
    factories.fit_decision(office, survey, ordered)
    assert removal_gate_of(opening) == []
    factories.survey(office, opening, conditions=old)
    assert removal_gate_of(opening) == []


def test_the_newest_survey_that_says_when_it_was_built_is_believed(office, opening):
    factories.survey(office, opening, conditions=factories.CONDITIONS | {"built": "not_known"})
    factories.survey(office, opening, conditions=factories.CONDITIONS | {"built": "from_2000"})
    factories.released_doorset(office, opening)
    assert removal_gate_of(opening) == []
