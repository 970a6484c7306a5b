"""Stored plans of fittings, read through to the pages and the gates that they decide."""

import pytest
from django.urls import reverse

from installs.frozen import FITTING_PLAN
from installs.gates import fitting_gates
from installs.models import Installation
from tests import factories
from tests.api import signed_in
from tests.frozen_records import examples

pytestmark = pytest.mark.django_db
EVERY_PLAN = examples.of_kind("fitting_plan")


@pytest.fixture
def fitter():
    return factories.person("fitter")


@pytest.fixture
def planned(fitter):
    office = factories.person("office")
    installation = factories.installation(office, fitter, factories.job(office))

    def with_plan(stored) -> Installation:
        Installation.objects.filter(pk=installation.pk).update(plan=stored)
        return Installation.objects.get(pk=installation.pk)

    return with_plan


@EVERY_PLAN
@pytest.mark.parametrize(
    ("page", "text"),
    [
        (("fitting",), "<svg"),
        (("fitting-member", "head"), "<svg"),
        (("fitting-sash", 1), "<h1>Sash 1</h1>"),
        (("fitting-junction", 0), "<h1>Junction 0</h1>"),
    ],
    ids=["sheet", "member", "sash", "junction"],
)
def test_every_page_of_the_fitting_opens(client, planned, stored, page, text):
    installation = planned(stored)
    client.force_login(installation.visit.people.get())
    name, *part = page
    answer = client.get(reverse(name, args=[installation.pk, *part]))
    assert answer.status_code == 200
    assert text in answer.content.decode()


@EVERY_PLAN
def test_its_gates_ask_for_every_sash_and_junction(planned, stored):
    blockers = [blocker.what for blocker in fitting_gates(planned(stored).job)["handover"]]
    for leaf in stored["leaves"]:
        assert any(f"sash {leaf['number']}:" in what for what in blockers)
    for junction in stored["junctions"]:
        assert any(what.endswith(f"junction {junction['number']}") for what in blockers)


@EVERY_PLAN
def test_programs_are_answered_the_newest_shape_without_the_number(fitter, planned, stored):
    path = f"/api/v1/installations/{planned(stored).pk}/"
    plan = signed_in(fitter).get(path).json()["plan"]
    layout = plan["fixing_layout"]
    for member, frozen in zip(layout["members"], stored["fixing_layout"]["members"], strict=True):
        assert member == {"support_positions": []} | frozen
    assert plan["glazing"] == stored["glazing"]
    assert {"sashes", "sashes_off", "panes"} < set(plan["lifts"])
    assert "format" not in plan


def test_a_plan_from_before_sashes_were_weighed_holds_the_frame_alone():
    plan = FITTING_PLAN.read(examples.stored("fitting_plan", "1_before_sashes_were_weighed"))
    assert plan.lifts.frame.with_sashes is None
    assert (plan.lifts.sashes_off, plan.lifts.sashes) == (None, ())
    assert plan.running_gear.source == "rule set folding-2026"


def test_a_plan_from_before_holds_were_worked_out_says_nothing_of_them():
    lifts = FITTING_PLAN.read(examples.stored("fitting_plan", "3")).lifts
    off = lifts.sashes_off
    assert off is not None
    assert {lift.held for lift in (lifts.frame, off.frame, off.heaviest_sash, *lifts.panes)} == {
        None
    }
    assert (lifts.access, lifts.tilt) == (None, None)


def test_a_plan_of_today_holds_where_to_hold_and_how_the_doorset_gets_in():
    lifts = FITTING_PLAN.read(examples.stored("fitting_plan", "4")).lifts
    assert lifts.frame.held is not None
    assert lifts.frame.held.by == "aid"
    assert lifts.access is not None
    assert lifts.access.way_in.distance == 25


def test_a_plan_from_before_sealing_had_a_temperature_keeps_what_it_asked_of_joints():
    stored = examples.stored("fitting_plan", "4")
    plan = FITTING_PLAN.read(stored)
    for joint, frozen in zip(plan.joints, stored["joints"], strict=True):
        assert joint.sealed_at is None
        asked = [(one.by_movement, one.seal_between) for one in joint.by_sealant_class]
        assert asked == [(one["by_movement"], None) for one in frozen["by_sealant_class"]]


def test_a_plan_from_before_the_sill_was_packed_under_its_loads_is_packed_at_fixings_alone():
    plan = FITTING_PLAN.read(examples.stored("fitting_plan", "6"))
    for member in plan.fixing_layout.members:
        assert member.support_positions == ()
        assert member.packed_positions == member.positions


def test_a_plan_of_today_says_what_each_support_carries():
    sill = FITTING_PLAN.read(examples.stored("fitting_plan", "7")).fixing_layout.member("sill")
    carried = {load.kind for support in sill.support_positions for load in support.carries}
    assert {"end", "carrier_closed", "carrier_folded", "span"} <= carried
