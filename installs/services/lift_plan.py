"""The lifts of a frozen plan: the frame, the sashes and the panes as they come, one by one."""

from collections.abc import Callable
from dataclasses import asdict
from typing import Any, Literal

from installs.arithmetic.lift import LiftRequest, plan_lift
from installs.plan.frame_lift import OFF_AS_INSTRUCTED, FrameLift, Load, SashesOff
from installs.services.calculation_rules import lift_rules
from jobs.models import Doorset
from jobs.rules import Rules

# A frame that stands on its sill, and a pane on its edge, is gripped low and carried upright
# (common practice, no source).
GRIP: Literal["knuckle_to_mid_lower_leg"] = "knuckle_to_mid_lower_leg"
CARRIED: Literal["elbow_to_knuckle"] = "elbow_to_knuckle"
ASSUMED = "the figures for men; with women in the team the guideline is lower"


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


def lift_plan(doorset: Doorset, people: int, rules: Rules) -> dict[str, Any]:
    """Everything that is lifted in one go against what the crew of the visit may lift, kg.

    `frame` is the frame as it comes, `sashes_off` what remains where its sashes are taken off
    first; `sashes` are those that come loose, with their glass where it is fitted, and `panes`
    those that come loose.
    """
    calculation, load = doorset.calculation, _loads(people, rules)
    leaves = calculation.leaves
    frame, glazed = frame_lift(doorset, people, rules), calculation.glass == "fitted"
    loose_sashes = leaves if calculation.sashes == "loose" else ()
    return {
        "people": people,
        "assumed": ASSUMED,
        "frame": {"with_sashes": frame.with_sashes, **_as_json(frame.load)},
        "sashes_off": _sashes_off(frame.sashes_off, glazed=glazed),
        "sashes": [
            _leaf(leaf.number, load(leaf.lifted_mass), glazed=glazed) for leaf in loose_sashes
        ],
        "panes": [_leaf(leaf.number, load(leaf.glass_mass)) for leaf in (() if glazed else leaves)],
    }


def _loads(people: int, rules: Rules) -> Callable[[float], Load]:
    """What the guideline says of a mass, kg, for so many people."""
    limits = lift_rules(rules)

    def load(mass: float) -> Load:
        return Load(mass, plan_lift(LiftRequest(mass, people, GRIP, set_down=CARRIED), limits))

    return load


def _as_json(load: Load) -> dict[str, Any]:
    return {"mass": load.mass, **asdict(load.guideline)}


def _leaf(number: int, load: Load, **more: Any) -> dict[str, Any]:
    return {"leaf": number, **more, **_as_json(load)}


def _sashes_off(lifts: SashesOff | None, *, glazed: bool) -> dict[str, Any] | None:
    if lifts is None:
        return None
    return {
        "condition": OFF_AS_INSTRUCTED,
        "frame": _as_json(lifts.frame),
        "heaviest_sash": _leaf(lifts.heaviest_leaf, lifts.heaviest_sash, glazed=glazed),
    }
