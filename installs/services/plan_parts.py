"""The parts of a frozen plan beside the fixings: what the sill carries, joints, glazing, running
gear."""

from dataclasses import replace
from typing import Literal, cast

from installs.arithmetic.chains import chains_of
from installs.arithmetic.glazing_plan import GlazedLeaf, GlazingPlan, plan_glazing
from installs.arithmetic.joint_movement import (
    JointRequest,
    JointRules,
    Material,
    judge_joint,
    kindest_temperature,
)
from installs.arithmetic.season import grows
from installs.arithmetic.sill_supports import SillLoad, loads_on_sill
from installs.frozen import JointBySealant, PlannedJoint, RunningGear
from installs.services.calculation_rules import block_rules, joint_rules, season_rules
from jobs.arithmetic.fold import Fold
from jobs.frozen import extended
from jobs.models import Doorset
from jobs.rules import Rules
from surveys.arithmetic.answers import WholeSize
from surveys.models import FitDecision
from surveys.services.leaf_space import folding_chains

# The joint that closes when a member grows, the side of the frame that member runs along, and how
# many of its ends can move: a frame stands on its sill and is screwed to it, so it grows upwards.
GROWS: dict[str, tuple[str, Literal[1, 2]]] = {
    "left": ("width", 2),
    "right": ("width", 2),
    "head": ("height", 1),
}


def sill_loads(doorset: Doorset, frame_width: float, rules: Rules) -> tuple[SillLoad, ...]:
    """What stands on the sill of the frame as delivered, closed and folded."""
    return loads_on_sill(replace(folding_chains(doorset, rules), frame_width=frame_width))


def joint_plan(
    doorset: Doorset, frame: WholeSize, decision: FitDecision | None, rules: Rules
) -> tuple[PlannedJoint, ...]:
    """For every joint that closes when the frame grows: its least width, and what each class of
    sealant asks for where it is sealed at the temperature that is kindest to it; nothing where the
    joint was not measured."""
    if decision is None:
        return ()
    material = cast(Material, doorset.profile_system.material)
    limits = joint_rules(rules)
    sealed_at = kindest_temperature(material, limits)
    plans = []
    for joint, (size, free_ends) in GROWS.items():
        width = decision.answer.joints[joint].min
        asked = JointRequest(
            member_length=getattr(frame, size),
            material=material,
            temperature_range=None,
            movement_accommodation=0,
            joint_width=max(0.0, width),
            free_ends=free_ends,
            opening_width=frame.width,
            installation_temperature=sealed_at,
        )
        by_class = tuple(_by_class(asked, grade, limits) for grade in rules["sealant.classes"])
        plans.append(
            PlannedJoint(
                joint=joint,
                member_length=getattr(frame, size),
                least_width=width,
                sealed_at=sealed_at,
                by_sealant_class=by_class,
            )
        )
    return tuple(plans)


def glazing_plan(doorset: Doorset, fold: Fold, rules: Rules) -> GlazingPlan:
    """Order of work, heel and toe, blocks of every sash."""
    leaves = [
        GlazedLeaf(**{name: getattr(leaf, name) for name in GlazedLeaf.__slots__})
        for leaf in doorset.calculation.leaves
    ]
    device = doorset.profile_system.toe_and_heel_device
    return plan_glazing(fold, leaves, block_rules(rules), toe_and_heel_device=device)


def running_gear_plan(doorset: Doorset, fold: Fold, rules: Rules) -> RunningGear:
    """Chains with their supports, what a carrier can do, what gaps are held to; mm."""
    system = doorset.profile_system
    widths = [leaf.width for leaf in doorset.calculation.leaves]
    chains = tuple(chains_of(fold, widths, system.leaf_gap))
    season = season_rules(rules, system.material, reinforced=system.reinforced)
    growth = grows(sum(chain.length for chain in chains), season)
    return RunningGear(
        adjustment_range=system.carrier_adjustment_range,
        lift_per_turn=system.lift_per_turn,
        tolerance=float(rules["running_gear.gap_difference"]),
        source=rules.source("running_gear.gap_difference", "running_gear.gaps_together"),
        chains=chains,
        leaf_gap=system.leaf_gap,
        together_tolerance=float(rules["running_gear.gaps_together"]),
        season=season if growth >= season.asked_from else None,
    )


def _by_class(asked: JointRequest, accommodation: float, limits: JointRules) -> JointBySealant:
    answer = judge_joint(replace(asked, movement_accommodation=accommodation), limits)
    return extended(
        JointBySealant,
        answer.smallest_joint,
        sealant_class=accommodation,
        greatest=answer.greatest_joint,
        governs=answer.governs,
        verdict=answer.verdict,
        seal_between=answer.seal_between,
    )
