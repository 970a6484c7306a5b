"""The parts of a frozen plan that come after the fixings: joints, glazing, running gear."""

from dataclasses import asdict, replace
from typing import Any, Literal, cast

from installs.arithmetic.chains import chains_of
from installs.arithmetic.glazing_plan import GlazedLeaf, plan_glazing
from installs.arithmetic.joint_movement import (
    JointRequest,
    JointRules,
    Material,
    judge_joint,
)
from installs.services.calculation_rules import block_rules, joint_rules
from jobs.arithmetic.fold import Fold
from jobs.models import Doorset
from jobs.rules import Rules
from surveys.models import FitDecision

# The joint that closes when a member grows, the side of the frame that member runs along, and how
# many of its ends can move: a frame stands on its sill and is screwed to it, so it grows upwards.
GROWS: dict[str, tuple[str, Literal[1, 2]]] = {
    "left": ("width", 2),
    "right": ("width", 2),
    "head": ("height", 1),
}


def joint_plan(
    doorset: Doorset, frame: dict[str, int], decision: FitDecision | None, rules: Rules
) -> list[dict[str, Any]]:
    """For every joint that closes when the frame grows: its least width, and what each class of
    sealant asks for; nothing where the joint was not measured."""
    if decision is None:
        return []
    material = cast(Material, doorset.profile_system.material)
    limits = joint_rules(rules)
    plans = []
    for joint, (size, free_ends) in GROWS.items():
        width = decision.answer.joints[joint].min
        asked = JointRequest(
            member_length=frame[size],
            material=material,
            temperature_range=rules["movement.temperature_range"],
            movement_accommodation=0,
            joint_width=max(0.0, width),
            free_ends=free_ends,
            opening_width=frame["width"],
        )
        by_class = [_by_class(asked, one, limits) for one in rules["sealant.classes"]]
        plans.append(
            {
                "joint": joint,
                "member_length": frame[size],
                "least_width": width,
                "by_sealant_class": by_class,
            }
        )
    return plans


def glazing_plan(doorset: Doorset, fold: Fold, rules: Rules) -> dict[str, Any]:
    """Order of work, heel and toe, blocks of every sash."""
    leaves = [
        GlazedLeaf(**{name: getattr(leaf, name) for name in GlazedLeaf.__slots__})
        for leaf in doorset.calculation.leaves
    ]
    device = doorset.profile_system.toe_and_heel_device
    return asdict(plan_glazing(fold, leaves, block_rules(rules), toe_and_heel_device=device))


def running_gear_plan(doorset: Doorset, fold: Fold, rules: Rules) -> dict[str, Any]:
    """Chains with their supports, and what a carrier can do; mm."""
    system = doorset.profile_system
    widths = [leaf.width for leaf in doorset.calculation.leaves]
    return {
        "adjustment_range": system.carrier_adjustment_range,
        "lift_per_turn": system.lift_per_turn,
        "tolerance": float(rules["running_gear.gap_difference"]),
        "source": rules.source("running_gear.gap_difference"),
        "chains": [asdict(chain) for chain in chains_of(fold, widths, system.leaf_gap)],
    }


def _by_class(asked: JointRequest, accommodation: float, limits: JointRules) -> dict[str, Any]:
    answer = judge_joint(replace(asked, movement_accommodation=accommodation), limits)
    return {
        "sealant_class": accommodation,
        **asdict(answer.smallest_joint),
        "greatest": answer.greatest_joint,
        "governs": answer.governs,
        "verdict": answer.verdict,
    }
