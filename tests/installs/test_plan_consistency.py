"""For every fold of one to eight leaves the plan is of one piece.

Facts of folding doorsets: common practice, no source.
"""

from itertools import pairwise

import pytest

from installs.arithmetic.chains import chains_of
from installs.arithmetic.glazing_plan import GlazedLeaf, plan_glazing
from installs.arithmetic.holding import Held
from installs.arithmetic.lift import LiftRequest, plan_lift
from installs.arithmetic.tilt import TiltRequest, tilt_in
from installs.plan import FittingFacts, draft_steps
from installs.plan.frame_lift import FrameLift, Load
from installs.services.calculation_rules import block_rules, lift_rules
from jobs.arithmetic.fold import parse_fold
from tests.checks.rule_sets import FOLDING

RULES = FOLDING
FOLDS = [f"{n}-{left}-{n - left}" for n in range(1, 9) for left in range(n + 1)]


def facts_of(fold):
    return FittingFacts(
        fold=parse_fold(fold),
        frame_width=720 * parse_fold(fold).leaves + 150,
        frame_height=2100,
        frame_lift=FrameLift(
            Load(
                30,
                plan_lift(LiftRequest(30, 2), lift_rules(RULES)),
                Held("people", "width", 3590, (430, 3160)),
            ),
            with_sashes=None,
            sashes_off=None,
        ),
        access=None,
        tilt=tilt_in(TiltRequest(2100, 70)),
        head_fixing="in_channel",
        ends_through_track=True,
        toe_and_heel_device=True,
    )


def steps_of(fold):
    return draft_steps(facts_of(fold), RULES)


def glazing_of(fold):
    leaves = [GlazedLeaf(n + 1, 700, 2000, 30) for n in range(parse_fold(fold).leaves)]
    return plan_glazing(parse_fold(fold), leaves, block_rules(RULES), toe_and_heel_device=True)


@pytest.mark.parametrize("fold", FOLDS)
def test_each_step_stands_once_and_hold_points_come_before_what_they_hold(fold):
    steps = steps_of(fold)
    codes = [step.code for step in steps]
    assert len(set(codes)) == len(codes)
    order = ["remeasure", "remove_old_door", "measure_open_wall", "lift_in", "support_sashes"]
    order += ["fix_jambs", "foam"]
    order += [
        "running_gear",
        "toe_and_heel",
        "glass_in",
        "beads_back",
        "gaps_again",
        "locking_plates",
        "keys",
    ]
    assert [codes.index(code) for code in order] == sorted(codes.index(code) for code in order)
    assert {step.code for step in steps if step.hold_point} == {
        "remeasure",
        "measure_open_wall",
        "lift_in",
        "support_sashes",
        "demonstration",
    }


@pytest.mark.parametrize("fold", FOLDS)
def test_every_sash_is_glazed_once_and_heels_alternate_in_each_chain(fold):
    plan, folded = glazing_of(fold), parse_fold(fold)
    numbers = list(range(1, folded.leaves + 1))
    assert sorted(plan.order) == numbers
    assert [leaf.number for leaf in plan.leaves] == numbers
    left, right = plan.leaves[: folded.left], plan.leaves[folded.left :]
    for chain in (left, right):
        assert all(a.heel != b.heel for a, b in pairwise(chain))
    assert not left or left[0].heel == "bottom_left"
    assert not right or right[-1].heel == "bottom_right"


@pytest.mark.parametrize("fold", FOLDS)
def test_every_junction_carrier_and_lock_is_there_once(fold):
    folded = parse_fold(fold)
    junctions = folded.junctions()
    assert [junction.number for junction in junctions] == list(range(folded.leaves + 1))
    chains = chains_of(folded, [700.0] * folded.leaves, 4.0)
    carriers = [
        (chain.jamb, place.junction)
        for chain in chains
        for place in chain.places
        if place.support == "carrier"
    ]
    assert len(set(carriers)) == len(carriers) == folded.left // 2 + folded.right // 2
    reached = {place.junction for chain in chains for place in chain.places}
    assert reached == {junction.number for junction in junctions}
    (locks,) = [step for step in steps_of(fold) if step.code == "locking_plates"]
    assert f"at junction {folded.closing_junction}," in locks.title
    assert folded.closing_junction in {0, folded.left, folded.leaves}
