"""Packers under a sill where it carries load: planned, packed, changed, drawn and counted."""

from collections.abc import Iterator
from dataclasses import replace
from itertools import pairwise

import pytest
from django.test import Client

from installs.arithmetic.packers import make_up_packers
from installs.drawings import DrawnMember, member_svg
from installs.models import Installation
from installs.services.planning import frozen_plan
from tests import factories
from tests.api import signed_in
from tests.older_rule_sets import BY_NEWEST, older_rule_set

pytestmark = pytest.mark.django_db

CHANGES = "/api/v1/packer-changes/"


@pytest.fixture
def client(fitter):
    return signed_in(fitter)


@pytest.fixture
def plan(client, installation) -> dict:
    return client.get(f"/api/v1/installations/{installation.pk}/").json()["plan"]


@pytest.fixture
def sill(plan) -> dict:
    return plan["fixing_layout"]["members"][3]


def packed_places(sill: dict) -> list[int]:
    return sorted(
        {*sill["positions"], *(support["position"] for support in sill["support_positions"])}
    )


def without_fixing(sill: dict) -> list[dict]:
    return [support for support in sill["support_positions"] if not support["at_fixing"]]


def what_the_rules_forbid(places: list[int], loads: list[float], length: float) -> Iterator[str]:
    """By the limits as they are written in the rule set: 50 mm beside a packer, 300 mm between two,
    the first of them 50 mm from an end, be it that a fixing beside that place carries it."""
    for at in (50, *loads, length - 50):
        if min(abs(place - at) for place in places) > 50.5:
            yield f"nothing under {at}"
    yield from (f"{a} to {b} hangs free" for a, b in pairwise(places) if b - a > 300)


# -- the plan ---------------------------------------------------------------------------------


def carriers_by_hand(plan: dict) -> list[float]:
    """A 5-5-0 of 3590 mm, faces of 60 and gaps of 4 mm: 62 mm to the first pin, then leaves of
    689.2 mm with a gap of 4 each, closed under the second and the fourth. Its depth is not known,
    so a folded leaf takes 100 mm and its gap: two are 208 mm."""
    assert [leaf["width"] for leaf in plan["leaves"]] == pytest.approx([689.2] * 5)
    return [62 + 2 * 693.2, 62 + 4 * 693.2, 62 + 208, 62 + 416]


def test_a_plan_packs_the_sill_under_every_carrier_closed_and_folded(plan, sill):
    carried = {
        load["at"]
        for support in sill["support_positions"]
        for load in support["carries"]
        if load["kind"] in ("carrier_closed", "carrier_folded")
    }
    assert sorted(carried) == pytest.approx(sorted(carriers_by_hand(plan)), abs=0.1)
    loads = carriers_by_hand(plan)
    assert list(what_the_rules_forbid(packed_places(sill), loads, sill["length"])) == []


def test_fixings_alone_would_leave_carriers_over_spans_that_the_rules_forbid(plan, sill):
    loads = carriers_by_hand(plan)
    wrong = list(what_the_rules_forbid(sill["positions"], loads, sill["length"]))
    assert sum(what.endswith("hangs free") for what in wrong) == len(sill["positions"]) - 1
    assert f"nothing under {62 + 2 * 693.2}" in wrong


def test_none_of_the_packers_could_be_left_out(plan, sill):
    loads = [load["at"] for support in sill["support_positions"] for load in support["carries"]]
    for support in without_fixing(sill):
        left = [place for place in packed_places(sill) if place != support["position"]]
        assert list(what_the_rules_forbid(left, loads, sill["length"])), support


def test_packers_of_a_fixing_carry_what_stands_beside_it(sill):
    """The fixing at 2858 is 23 mm from the carrier at 2834.8, hinge side of the traffic door."""
    (served,) = [support for support in sill["support_positions"] if support["at_fixing"]]
    assert served["position"] == 2858
    assert {load["kind"] for load in served["carries"]} == {"carrier_closed", "traffic_door_hinges"}
    (fixing,) = [fixing for fixing in sill["fixings"] if fixing["position"] == 2858]
    assert served["packers"] == fixing["packers"]


def test_packers_are_made_up_from_the_joint_that_was_measured_at_the_sill(installation, sill):
    """Straight between the points of the joint profile, as the survey left them."""
    profile = installation.doorset.fit_decisions.order_by("-created_at").first().answer
    ends = {p.at: p.width for p in profile.joint_profile if p.member == "sill"}
    (low, at_low), (high, at_high) = min(ends.items()), max(ends.items())
    for support in without_fixing(sill):
        share = (support["position"] - low) / (high - low)
        wanted = at_low + share * (at_high - at_low)
        assert support["packers"]["joint_width"] == pytest.approx(wanted, abs=0.05)


def test_other_members_are_packed_at_their_fixings_alone(plan):
    for member in plan["fixing_layout"]["members"][:3]:
        assert member["support_positions"] == []


def test_the_plan_says_which_rules_decided_and_whose_word_goes_before_them(plan):
    sources = "; ".join(plan["fixing_layout"]["sources"])
    assert "the maker's own plan prevails" in sources
    assert "supports of the sill: the firm's own limit" in sources


def test_a_job_under_an_older_rule_set_is_packed_by_the_newest_and_says_so(office, fitter):
    job = factories.job(office, rule_set=older_rule_set(without={"sill.support_spacing"}))
    planned = factories.installation(office, fitter, job).plan
    assert planned.fixing_layout.member("sill").supports_without_fixing
    assert any(BY_NEWEST in source for source in planned.fixing_layout.sources)
    assert "sill.support_spacing" in {rule.rule for rule in planned.rules_from_newer_sets}


def test_two_chains_are_carried_where_they_meet(office, fitter, job):
    planned = factories.installation(office, fitter, job, fold="5-3-2").plan
    supports = planned.fixing_layout.member("sill").support_positions
    meeting = next(
        support
        for support in supports
        if any(load.kind == "meeting_stiles" for load in support.carries)
    )
    kinds = {load.kind for load in meeting.carries}
    assert kinds == {"meeting_stiles", "traffic_door_lock", "carrier_closed"}
    assert {load.junction for load in meeting.carries} == {3}


def test_packers_under_loads_stand_on_the_damp_proof_course_too(office, fitter, job):
    """By hand: 1.5 mm of course fill as much of a joint that is wide enough; where that is 0 mm at
    its least, the frame stands higher by 1.5 mm and the packers stay."""

    def sill_joints(state: str) -> list[float]:
        opening = factories.opening(office, job, f"Course {state}")
        doorset = factories.ordered_doorset(office, opening)
        factories.delivery(office, doorset)
        conditions = factories.CONDITIONS | {"damp_proof_course": state}
        survey = factories.survey(office, opening, stage="before_removal", conditions=conditions)
        factories.fit_decision(office, survey, doorset)
        visit = factories.visit(office, job, "fitting", fitter)
        made = frozen_plan(doorset, visit, job.rule_set.rules)
        supports = made.fixing_layout.member("sill").supports_without_fixing
        return [support.packers.joint_width for support in supports]

    sound, missing = sill_joints("ok"), sill_joints("missing")
    raised = 1.5 - min(sound)
    assert missing == pytest.approx([width - 1.5 + raised for width in sound], abs=0.1)


# -- packers that are changed -----------------------------------------------------------------


def changed(client, installation, **body):
    whole = {"installation": str(installation.pk), "member": "sill"} | body
    return client.post(CHANGES, whole)


def test_packers_are_changed_where_the_sill_carries_load_as_beside_a_fixing(
    client, installation, sill
):
    place = without_fixing(sill)[2]["position"]
    answer = changed(client, installation, position=place, added=[2], taken=[])
    assert answer.status_code == 201, answer.content


def test_where_nothing_is_packed_the_answer_names_the_places_with_and_without_a_fixing(
    client, installation, sill
):
    answer = changed(client, installation, position=120, added=[2], taken=[])
    assert answer.status_code == 400
    named = answer.json()["errors"][0]["detail"]
    assert ", ".join(map(str, packed_places(sill))) in named


def test_advice_on_the_level_is_given_beside_fixings_and_has_the_others_follow(
    client, fitter, installation, sill
):
    factories.fitted(fitter, installation, until="sill_level")
    step = installation.steps.get(code="sill_level")
    read = {"left_end": 0, "middle": 6, "right_end": 0}
    given = factories.evidence(fitter, step, **read)
    laser = factories.instrument(fitter, kind="laser", expanded_uncertainty=0.6, coverage_factor=2)
    body = {
        "step": str(step.pk),
        "instrument": str(laser.pk),
        "readings": [{"place": read.place, "value": read.value} for read in given["readings"]],
    }
    answer = client.post("/api/v1/inspections/", body)
    assert answer.status_code == 201, answer.content
    (act,) = answer.json()["next_act"]["members"]
    assert act["act"]["changes"]
    assert {change["at"] for change in act["act"]["changes"]} <= set(sill["positions"])
    assert any("make them up again" in caution for caution in answer.json()["next_act"]["cautions"])


# -- where the crew sees them -----------------------------------------------------------------


def test_the_kit_counts_packers_without_a_fixing_and_no_screws_for_them(plan):
    stacks = [
        place["packers"]["pieces"]
        for member in plan["fixing_layout"]["members"]
        for place in (*member["fixings"], *without_fixing(member))
    ]
    counted = {packers["thickness"]: packers["count"] for packers in plan["kit"]["packers"]}
    assert sum(counted.values()) == sum(map(len, stacks))
    assert any(without_fixing(member) for member in plan["fixing_layout"]["members"])
    screws = sum(screws["count"] for screws in plan["kit"]["screws"])
    assert screws == sum(len(member["fixings"]) for member in plan["fixing_layout"]["members"])


def test_the_page_of_the_sill_lists_them_with_what_they_carry(fitter, installation, sill):
    text = page(fitter, installation, "members/sill/")
    assert "Packers without a fixing" in text
    for support in without_fixing(sill):
        assert f"{support['position']} mm" in text
    assert "under the carrier of junction 2, leaves closed" in text
    assert "under the sill between its neighbours" in text
    assert "This place lies under the carrier of junction 4, leaves closed" in text


def test_a_page_of_a_jamb_has_none(fitter, installation):
    assert "Packers without a fixing" not in page(fitter, installation, "members/left/")


def test_the_map_shows_them_under_the_sill_and_counts_them_in_words(fitter, installation, sill):
    text = page(fitter, installation, "")
    count = len(without_fixing(sill))
    assert f"{count} packers without a fixing" in text
    assert "Triangles under the sill are packers without a fixing" in text
    map_drawing = text.partition("Map of the fitting.")[2].partition("</svg>")[0]
    assert map_drawing.count("<path") == count


def page(fitter, installation: Installation, below: str) -> str:
    browser = Client()
    browser.force_login(fitter)
    answer = browser.get(f"/fittings/{installation.pk}/{below}")
    assert answer.status_code == 200
    return answer.content.decode()


def drawn_sill(installation: Installation, joint: float) -> DrawnMember:
    """With packers for a joint of this width at every place."""
    stack = make_up_packers(joint, (1, 2, 3, 5, 8, 10), 0.5)
    sill = installation.plan.fixing_layout.member("sill")
    packed = tuple(replace(support, packers=stack) for support in sill.support_positions)
    return DrawnMember.read(replace(sill, support_positions=packed))


def test_a_drawing_has_a_triangle_under_the_sill_for_each_with_its_packers(installation):
    drawn = drawn_sill(installation, 7.0)
    svg = member_svg(drawn, drawn.length)
    assert svg.count("<path") == len(drawn.supports)
    for number, support in enumerate(drawn.supports, start=1):
        assert f">P{number}<" in svg
        assert f"M{support.position:.1f} " in svg
    assert svg.count(">5+2<") == len(drawn.supports)


def test_a_drawing_says_in_words_where_they_are(installation):
    drawn = drawn_sill(installation, 7.0)
    listed = ", ".join(f"{place.position} (5 + 2)" for place in drawn.supports)
    assert f"Packers without a fixing at mm (packers): {listed}." in drawn.description


def test_a_member_without_any_is_drawn_as_low_as_ever(installation):
    jamb = DrawnMember.read(installation.plan.fixing_layout.member("left"))
    sill = drawn_sill(installation, 7.0)
    assert height_of(member_svg(jamb, 3590)) < height_of(member_svg(sill, 3590))


def height_of(svg: str) -> float:
    return float(svg.partition('viewBox="')[2].partition('"')[0].split()[3])
