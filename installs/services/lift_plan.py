"""The lifts of a frozen plan: the frame, the sashes and the panes as they come, one by one, where
to hold each, and how they get in."""

from collections.abc import Callable
from typing import Any, Literal, TypeVar

from installs.arithmetic.access import AccessAnswer, judge_access
from installs.arithmetic.holding import hold
from installs.arithmetic.lift import LiftRequest, LiftRules, plan_lift
from installs.arithmetic.lift_ways import (
    LiftedPart,
    LiftWay,
    frame_part,
    lift_ways,
    pane_part,
    sash_part,
)
from installs.arithmetic.tilt import TiltAnswer, TiltRequest, tilt_in
from installs.frozen import (
    LiftPlan,
    PlannedFrameLift,
    PlannedLift,
    PlannedPaneLift,
    PlannedSashesOff,
    PlannedSashLift,
)
from installs.plan.frame_lift import OFF_AS_INSTRUCTED, FrameLift, Load, SashesOff
from installs.services.calculation_rules import access_rules, lift_rules
from jobs.arithmetic.doorset import Size
from jobs.frozen import extended
from jobs.models import Doorset, Opening
from jobs.rules import Rules
from jobs.sentences import sentence
from surveys.models import FitDecision
from surveys.services.way_in import frame_depth, read_way_in, survey_of_way_in

# A frame that stands on its sill, and a pane on its edge, is gripped low and carried upright
# (common practice, no source).
GRIP: Literal["knuckle_to_mid_lower_leg"] = "knuckle_to_mid_lower_leg"
CARRIED: Literal["elbow_to_knuckle"] = "elbow_to_knuckle"
L = TypeVar("L", bound=PlannedLift)
ASSUMED = sentence("the figures for men; with women in the team the guideline is lower")


def frame_lift(doorset: Doorset, frame: Size, people: int, rules: Rules) -> FrameLift:
    """The frame as so many people lift it in, and with its sashes off where they come hung."""
    calculation, load = doorset.calculation, _loads(people, rules)
    depth = frame_depth(doorset, rules)
    bare = frame_part(calculation.frame_mass, frame, depth)
    if calculation.sashes == "loose":
        return FrameLift(load(bare), with_sashes=None, sashes_off=None)
    filling = calculation.lifted_mass - calculation.frame_mass
    heaviest = max(calculation.leaves, key=lambda leaf: leaf.lifted_mass)
    glazed = calculation.glass == "fitted"
    return FrameLift(
        load(frame_part(calculation.lifted_mass, frame, depth, filling=filling)),
        with_sashes="glazed" if glazed else "unglazed",
        sashes_off=SashesOff(
            frame=load(bare),
            heaviest_leaf=heaviest.number,
            heaviest_sash=load(sash_part(heaviest, depth, glazed=glazed)),
        ),
    )


def lift_plan(
    doorset: Doorset, frame: Size, people: int, decision: FitDecision | None, rules: Rules
) -> LiftPlan:
    """Everything that is lifted in one go against what the crew of the visit may lift, how it gets
    in by the way that was measured, and how the frame goes into its opening."""
    calculation, load = doorset.calculation, _loads(people, rules)
    depth, leaves = frame_depth(doorset, rules), calculation.leaves
    lifted, glazed = frame_lift(doorset, frame, people, rules), calculation.glass == "fitted"
    sashes = {leaf.number: load(sash_part(leaf, depth, glazed=glazed)) for leaf in leaves}
    panes = {leaf.number: load(pane_part(leaf, depth)) for leaf in leaves}
    return LiftPlan(
        people=people,
        assumed=ASSUMED,
        frame=_planned(PlannedFrameLift, lifted.load, with_sashes=lifted.with_sashes),
        sashes_off=_sashes_off(lifted.sashes_off, glazed=glazed),
        sashes=tuple(
            _planned(PlannedSashLift, sash, leaf=leaf, glazed=glazed)
            for leaf, sash in (sashes.items() if calculation.sashes == "loose" else ())
        ),
        panes=tuple(
            _planned(PlannedPaneLift, pane, leaf=leaf)
            for leaf, pane in (() if glazed else panes.items())
        ),
        access=access_of(doorset, frame, rules),
        tilt=tilt_of(doorset, frame, decision, rules),
    )


def ways_of(doorset: Doorset, frame: Size, rules: Rules) -> tuple[LiftWay, ...]:
    return lift_ways(doorset.calculation, frame, frame_depth(doorset, rules))


def access_of(doorset: Doorset, frame: Size, rules: Rules) -> AccessAnswer | None:
    """By the newest survey that measured the way in; None where none did."""
    survey = survey_of_way_in(doorset.opening)
    if survey is None:
        return None
    return judge_access(
        ways_of(doorset, frame, rules),
        read_way_in(survey.conditions["way_in"]),
        team_of(lift_rules(rules)),
        access_rules(rules),
        gear="lifting_gear_needed" in survey.conditions.get("access", ()),
    )


def tilt_of(
    doorset: Doorset, frame: Size, decision: FitDecision | None, rules: Rules
) -> TiltAnswer:
    joints = decision.answer.joints if decision else None
    return tilt_in(
        TiltRequest(
            height=frame.height,
            depth=frame_depth(doorset, rules),
            head_joint=joints["head"].min if joints else None,
            sill_joint=joints["sill"].min if joints and "sill" in joints else None,
            drop=_drop_outside(doorset.opening),
            level_up_to=rules["access.step_rise"],
        )
    )


def team_of(limits: LiftRules) -> Callable[[float, int], bool]:
    """Whether the guideline lets so many people lift so many kg from low down."""

    def lifts(mass: float, people: int) -> bool:
        request = LiftRequest(mass, people, GRIP, set_down=CARRIED)
        return plan_lift(request, limits).within_guideline

    return lifts


def _drop_outside(opening: Opening) -> float:
    """How far the ground outside lies lower, mm, by the newest survey; 0 where nobody said."""
    survey = opening.surveys.order_by("-taken_at", "-created_at").first()
    return float(survey.conditions.get("outside_drop", 0)) if survey else 0.0


def _loads(people: int, rules: Rules) -> Callable[[LiftedPart], Load]:
    """What the guideline says of a part for so many people, and where they hold it."""
    limits = lift_rules(rules)

    def load(part: LiftedPart) -> Load:
        request = LiftRequest(part.burden.mass, people, GRIP, set_down=CARRIED)
        answer = plan_lift(request, limits)
        needed = answer.people_needed
        team = max(part.least_people, needed) if needed else None
        return Load(part.burden.mass, answer, hold(part.burden, team))

    return load


def _planned(shape: type[L], load: Load, **more: Any) -> L:
    return extended(shape, load.guideline, mass=load.mass, held=load.held, **more)


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
