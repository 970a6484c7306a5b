"""From a doorset and what a survey recorded to where its leaves stand and what they sweep."""

from collections.abc import Mapping
from typing import Any

from jobs.arithmetic.fold import Fold
from jobs.arithmetic.stack import FoldingChains
from jobs.models import Doorset
from jobs.rules import Rules
from surveys.arithmetic.sweep_findings import LeafSpace, StackLimit, obstructions_in
from surveys.plan_drawing import DrawnPlan
from surveys.services.way_in import frame_depth


def leaf_space(doorset: Doorset, conditions: Mapping[str, Any], rules: Rules) -> LeafSpace:
    """A place that nobody measured is 0."""
    chains = folding_chains(doorset, rules)
    outwards = doorset.opens == "out"
    behind = _behind(conditions, chains.leaf_thickness, outwards=outwards)
    return LeafSpace(chains, "outside" if outwards else "inside", behind)


def folding_chains(doorset: Doorset, rules: Rules) -> FoldingChains:
    """Leaves are taken as thick as their frame is deep."""
    system = doorset.profile_system
    return FoldingChains(
        frame_width=doorset.frame_width,
        frame_face=system.frame_face,
        leaf_gap=system.leaf_gap,
        leaf_thickness=frame_depth(doorset, rules),
        fold=Fold(doorset.leaves, doorset.left_leaves, doorset.right_leaves),
        widths=tuple(leaf.width for leaf in doorset.calculation.leaves),
    )


def stack_limit(rules: Rules) -> StackLimit:
    return StackLimit(rules["stack.clearance"], rules.source("stack.clearance"))


def drawn_plan(doorset: Doorset, conditions: Mapping[str, Any], rules: Rules) -> DrawnPlan:
    """The plan view of a doorset with what a survey recorded beside it."""
    return DrawnPlan(
        leaf_space(doorset, conditions, rules),
        obstructions_in(conditions),
        stack_limit(rules).clearance,
    )


def plan_of(doorset: Doorset) -> DrawnPlan:
    """The plan view by the newest survey of the opening; nothing stands there before one."""
    survey = doorset.opening.surveys.order_by("-taken_at", "-created_at").first()
    conditions = survey.conditions if survey else {}
    return drawn_plan(doorset, conditions, doorset.job.rule_set.rules)


def _behind(conditions: Mapping[str, Any], depth: float, *, outwards: bool) -> float:
    position, reveal = conditions.get("frame_position"), conditions.get("reveal_depth")
    if position is None:
        return 0.0
    if outwards:
        return float(position)
    return max(0.0, reveal - position - depth) if reveal is not None else 0.0
