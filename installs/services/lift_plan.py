"""The lifts of a frozen plan: the frame, the sashes and the panes as they come, one by one."""

from collections.abc import Callable
from typing import Any, Literal, TypeVar

from installs.arithmetic.lift import LiftRequest, plan_lift
from installs.frozen import (
    LiftPlan,
    PlannedFrameLift,
    PlannedLift,
    PlannedPaneLift,
    PlannedSashesOff,
    PlannedSashLift,
)
from installs.plan.frame_lift import OFF_AS_INSTRUCTED, FrameLift, Load, SashesOff
from installs.services.calculation_rules import lift_rules
from jobs.frozen import extended
from jobs.models import Doorset
from jobs.rules import Rules
from jobs.sentences import sentence

# A frame that stands on its sill, and a pane on its edge, is gripped low and carried upright
# (common practice, no source).
GRIP: Literal["knuckle_to_mid_lower_leg"] = "knuckle_to_mid_lower_leg"
CARRIED: Literal["elbow_to_knuckle"] = "elbow_to_knuckle"
L = TypeVar("L", bound=PlannedLift)
ASSUMED = sentence("the figures for men; with women in the team the guideline is lower")


def frame_lift(doorset: Doorset, people: int, rules: Rules) -> FrameLift:
    """The frame as so many people lift it in, and with its sashes off where they come hung."""
    calculation, load = doorset.calculation, _loads(people, rules)
    lifted = load(calculation.lifted_mass)
    if calculation.sashes == "loose":
        return FrameLift(lifted, with_sashes=None, sashes_off=None)
    heaviest = max(calculation.leaves, key=lambda leaf: leaf.lifted_mass)
    return FrameLift(
        lifted,
        with_sashes="glazed" if calculation.glass == "fitted" else "unglazed",
        sashes_off=SashesOff(
            frame=load(calculation.frame_mass),
            heaviest_leaf=heaviest.number,
            heaviest_sash=load(heaviest.lifted_mass),
        ),
    )


def lift_plan(doorset: Doorset, people: int, rules: Rules) -> LiftPlan:
    """Everything that is lifted in one go against what the crew of the visit may lift."""
    calculation, load = doorset.calculation, _loads(people, rules)
    leaves = calculation.leaves
    frame, glazed = frame_lift(doorset, people, rules), calculation.glass == "fitted"
    loose_sashes = leaves if calculation.sashes == "loose" else ()
    return LiftPlan(
        people=people,
        assumed=ASSUMED,
        frame=_planned(PlannedFrameLift, frame.load, with_sashes=frame.with_sashes),
        sashes_off=_sashes_off(frame.sashes_off, glazed=glazed),
        sashes=tuple(
            _planned(PlannedSashLift, load(leaf.lifted_mass), leaf=leaf.number, glazed=glazed)
            for leaf in loose_sashes
        ),
        panes=tuple(
            _planned(PlannedPaneLift, load(leaf.glass_mass), leaf=leaf.number)
            for leaf in (() if glazed else leaves)
        ),
    )


def _loads(people: int, rules: Rules) -> Callable[[float], Load]:
    """What the guideline says of a mass, kg, for so many people."""
    limits = lift_rules(rules)

    def load(mass: float) -> Load:
        return Load(mass, plan_lift(LiftRequest(mass, people, GRIP, set_down=CARRIED), limits))

    return load


def _planned(shape: type[L], load: Load, **more: Any) -> L:
    return extended(shape, load.guideline, mass=load.mass, **more)


def _sashes_off(lifts: SashesOff | None, *, glazed: bool) -> PlannedSashesOff | None:
    if lifts is None:
        return None
    return PlannedSashesOff(
        condition=OFF_AS_INSTRUCTED,
        frame=_planned(PlannedLift, lifts.frame),
        heaviest_sash=_planned(
            PlannedSashLift, lifts.heaviest_sash, leaf=lifts.heaviest_leaf, glazed=glazed
        ),
    )
