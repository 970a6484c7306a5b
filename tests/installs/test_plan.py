"""Which steps a doorset's plan has. Order and conditions: common practice, no source."""

import pytest

from installs.arithmetic.holding import Held
from installs.arithmetic.lift import LiftRequest, plan_lift
from installs.arithmetic.tilt import TiltRequest, tilt_in
from installs.models import PlanStep
from installs.plan import FittingFacts, StepDraft, draft_steps
from installs.plan.frame_lift import FrameLift, Load, SashesOff
from installs.services.calculation_rules import lift_rules
from jobs.arithmetic.fold import parse_fold
from jobs.rules import Rules
from tests.checks.rule_sets import FOLDING


@pytest.fixture(scope="module")
def rules() -> Rules:
    return FOLDING


def load(rules: Rules, mass: float, people: int = 2) -> Load:
    answer = plan_lift(LiftRequest(mass, people), lift_rules(rules))
    return Load(mass, answer, Held("people", "width", 3590, (430, 3160)))


def plan(rules: Rules, fold: str = "5-5-0", **changes) -> dict[str, StepDraft]:
    facts = {
        "fold": parse_fold(fold),
        "frame_width": 3590,
        "frame_height": 2100,
        "frame_lift": FrameLift(load(rules, 27.3), with_sashes=None, sashes_off=None),
        "access": None,
        "tilt": tilt_in(TiltRequest(2100, 70, head_joint=6)),
        "head_fixing": "in_channel",
        "ends_through_track": True,
        "toe_and_heel_device": True,
    } | changes
    return {step.code: step for step in draft_steps(FittingFacts(**facts), rules)}


def test_a_doorset_of_one_chain_has_its_keep_off_before_its_jambs_are_fixed(rules):
    codes = list(plan(rules, "5-5-0"))
    assert codes.index("keep_off") < codes.index("fix_jambs")


@pytest.mark.parametrize(("fold", "jamb"), [("5-5-0", "right"), ("4-0-4", "left")])
def test_the_keep_is_at_the_jamb_that_no_leaf_folds_to(rules, fold, jamb):
    assert plan(rules, fold)["keep_off"].title.startswith(f"Take the keep off the {jamb} jamb")


def test_a_doorset_of_two_chains_has_no_keep_to_take_off(rules):
    assert "keep_off" not in plan(rules, "3-2-1")


def test_the_track_comes_out_only_where_the_head_is_fixed_behind_it(rules):
    assert {"track_out", "track_back"} <= set(plan(rules, head_fixing="in_channel"))
    assert not {"track_out", "track_back"} & set(plan(rules, head_fixing="through_track"))


def test_the_ends_of_the_track_are_screwed_through_only_where_they_may_be(rules):
    assert "through the ends of the track" in plan(rules)["fix_head"].title
    assert "through the ends" not in plan(rules, ends_through_track=False)["fix_head"].title


def test_what_was_taken_off_the_jambs_goes_back(rules):
    assert "keep back on the right jamb" in plan(rules, "5-5-0")["gasket_back"].title
    assert "keep" not in plan(rules, "3-2-1")["gasket_back"].title


def test_a_toe_and_heel_device_is_set_only_where_the_system_has_one(rules):
    assert "toe_and_heel_device" in plan(rules)
    assert "toe_and_heel_device" not in plan(rules, toe_and_heel_device=False)


def test_the_caution_of_the_lift_says_how_many_it_takes(rules):
    assert "takes 2 people" in plan(rules)["lift_in"].caution
    assert plan(rules)["lift_in"].checks["team"] == "lifted by 2 people or a lifting aid"
    light = FrameLift(load(rules, 12.0), with_sashes=None, sashes_off=None)
    assert "takes 2 people" in plan(rules, frame_lift=light)["lift_in"].caution


def test_the_step_of_the_lift_says_where_to_hold_and_how_the_frame_goes_in(rules):
    step = plan(rules)["lift_in"]
    assert step.checks["grip"] == "held low at 430, 3160 mm from the left, upright"
    assert step.checks["tilt"].startswith("Sill first, then tilt it up: it needs 1.2 mm")
    assert step.title == "Lift the frame in, sill first, then push in the head"
    assert "access" not in step.checks


def test_a_frame_without_the_room_to_be_tilted_is_pushed_in_upright(rules):
    tight = tilt_in(TiltRequest(2100, 150, head_joint=5, sill_joint=0))
    step = plan(rules, tilt=tight)["lift_in"]
    assert step.title.startswith("Stand the frame upright before the opening")
    assert step.checks["tilt"].startswith("Do not tilt it in: it would need 5.4 mm")
    assert len(step.title) <= (PlanStep._meta.get_field("title").max_length or 0)


def test_a_frame_beyond_any_team_is_lifted_with_an_aid(rules):
    heavy = FrameLift(load(rules, 96.0, 4), with_sashes=None, sashes_off=None)
    step = plan(rules, frame_lift=heavy)["lift_in"]
    assert "No team of the guideline lifts it: a lifting aid is required." in step.caution
    assert step.checks["team"] == "lifted by a lifting aid"


@pytest.mark.parametrize("with_sashes", ["unglazed", "glazed"])
def test_a_frame_with_its_sashes_says_so_and_offers_to_take_them_off(rules, with_sashes):
    off = SashesOff(load(rules, 37.2), 3, load(rules, 17.1))
    step = plan(rules, frame_lift=FrameLift(load(rules, 1100.0), with_sashes, off))["lift_in"]
    assert f"The frame with its sashes, {with_sashes}, is about 1100 kg" in step.caution
    assert "where and as the manufacturer allows: frame about 37 kg, 3 people" in step.caution
    assert "heaviest sash about 17 kg, 2 people" in step.caution
    assert step.checks["team"] == (
        "lifted by a lifting aid; with the sashes taken off first: by 3 people or a lifting aid"
    )
    # The column that keeps it is of this length on PostgreSQL.
    assert len(step.caution) <= (PlanStep._meta.get_field("caution").max_length or 0)


def test_magnets_are_named_for_the_access_leaf_that_could_strike_another(rules):
    assert "access leaf 5 " in plan(rules, "5-5-0")["magnets"].title
    assert "access leaf 3 " in plan(rules, "3-2-1")["magnets"].title


def test_a_doorset_without_an_access_leaf_needs_no_magnets(rules):
    assert "magnets" not in plan(rules, "4-4-0")


def test_work_on_one_chain_begins_with_the_second_sash_in(rules):
    assert "second sash" in plan(rules, "5-5-0")["toe_and_heel"].title
    assert "from one end" in plan(rules, "3-2-1")["toe_and_heel"].title


def test_the_old_door_waits_for_the_opening_to_be_measured_again(rules):
    steps = plan(rules)
    codes = list(steps)
    assert codes.index("remeasure") < codes.index("remove_old_door")
    assert steps["remeasure"].hold_point


def test_sashes_are_held_up_before_anything_is_fixed(rules):
    steps = plan(rules)
    codes = list(steps)
    assert codes.index("support_sashes") < codes.index("mark_fixings")
    assert steps["support_sashes"].hold_point
    assert "overbalances" in steps["support_sashes"].caution


def test_phases_follow_each_other_and_never_return(rules):
    phases = [step.phase for step in plan(rules).values()]
    order = ["prepare", "removal", "setting", "fixing", "glazing", "finishing", "handover"]
    assert sorted(phases, key=order.index) == phases
    assert set(phases) == set(order)


# Published: test-institute guidance of 28.04.2006, 1.5 mm/m up to 3 m, at most 3 mm.
@pytest.mark.parametrize(("height", "limit"), [(1200, 1.8), (2000, 3.0), (2100, 3.0), (3500, 3.0)])
def test_the_plumb_limit_grows_with_the_jamb_up_to_three_millimetres(rules, height, limit):
    criteria = plan(rules, frame_height=height)["plumb"].criteria
    leans = [(c.lower, c.upper) for name, c in criteria.items() if name != "twist"]
    assert leans == [pytest.approx((-limit, limit))] * 4


def test_every_limit_of_a_plan_names_its_source(rules):
    criteria = [c for step in plan(rules).values() for c in step.criteria.values()]
    assert criteria
    assert all(criterion.source for criterion in criteria)


def test_glass_is_checked_sash_by_sash(rules):
    assert list(plan(rules, "3-2-1")["glass_in"].checks) == ["sash_1", "sash_2", "sash_3"]


@pytest.mark.parametrize(("fold", "junction"), [("5-5-0", 5), ("4-0-4", 0), ("5-3-2", 3)])
def test_the_locking_plates_sit_where_the_doorset_closes(rules, fold, junction):
    step = plan(rules, fold)["locking_plates"]
    assert f"at junction {junction}," in step.title
    assert list(step.checks) == ["central", "top", "bottom"]


def test_drilling_masonry_comes_with_what_its_dust_asks_for_and_steel_without(rules):
    """HSE Construction Information Sheet 36: on-tool extraction of class M and a mask of FFP3."""
    walls = {"left": "timber", "right": "brick", "head": "steel", "sill": "timber"}
    steps = plan(rules, walls=walls)
    for protection in ("class M", "FFP3"):
        assert protection in steps["fix_jambs"].caution
        assert protection not in steps["fix_head"].caution + steps["fix_sill"].caution


def test_the_sill_is_done_only_where_the_packers_without_a_fixing_were_looked_at(rules):
    """No screw shows that one is missing, and a carrier stands on it (common practice, no
    source)."""
    fix_sill = plan(rules)["fix_sill"]
    assert fix_sill.evidence == ("checks",)
    assert "carriers" in fix_sill.checks["sill_supports"]


def test_a_wall_that_nobody_has_named_is_drilled_as_masonry(rules):
    assert "silica" in plan(rules)["fix_sill"].caution


@pytest.mark.parametrize(
    ("leader", "words"),
    [
        ("this_firm", "this firm keeps the construction phase plan"),
        ("principal_contractor", "report to them first"),
        ("", "Name who leads safety today"),
    ],
)
def test_the_first_step_says_who_leads_safety(rules, leader, words):
    """CDM Regulations 2015, regulations 7, 13 and 15."""
    assert words in plan(rules, safety_led_by=leader)["protect_room"].caution


def test_what_is_to_be_taken_care_of_fits_its_column(rules):
    longest = PlanStep._meta.get_field("caution").max_length or 0
    for leader in ("this_firm", "principal_contractor", "not_known", ""):
        for step in plan(rules, safety_led_by=leader).values():
            assert len(step.caution) <= longest


@pytest.mark.parametrize(("edge", "clearance"), [(2000, "3 mm"), (2001, "5 mm")])
def test_glass_keeps_off_the_profile_by_the_length_of_its_edge(rules, edge, clearance):
    """3 mm up to 2 m, 5 mm beyond: common practice, no source."""
    for code in ("glass_in", "toe_and_heel"):
        caution = plan(rules, longest_pane_edge=edge)[code].caution
        assert f"Keep {clearance} free" in caution
        assert "5 mm thick or more" in caution


def test_the_seal_says_when_it_may_be_made(rules):
    assert "5 to 40 C, 3 C above the dew point" in plan(rules)["seal"].caution
