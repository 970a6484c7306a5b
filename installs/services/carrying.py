"""Where to hold what a calculation is asked about, how it gets in, and how it is tilted in."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from installs.arithmetic.access import AccessAnswer, Team, judge_access
from installs.arithmetic.holding import Held, hold
from installs.arithmetic.lift import LiftRequest, LiftRules, plan_lift
from installs.arithmetic.lift_ways import LiftWay, frame_part
from installs.arithmetic.tilt import TiltAnswer, TiltRequest, tilt_in
from installs.services.calculation_rules import access_rules, lift_rules
from jobs.arithmetic.doorset import Size
from jobs.rules import Rules
from surveys.services.way_in import read_way_in


@dataclass(frozen=True, slots=True)
class Carrying:
    """None where the request gave no size, or no way in."""

    held: Held | None = None
    tilt: TiltAnswer | None = None
    access: AccessAnswer | None = None


def carrying(
    request: LiftRequest,
    frame: Mapping[str, Any] | None,
    access: Mapping[str, Any] | None,
    rules: Rules,
) -> Carrying:
    """`frame` and `access` as the calculation of a lift takes them; mm and kg."""
    if frame is None:
        return Carrying()
    limits = lift_rules(rules)
    depth = frame.get("depth") or float(rules["access.depth_not_known"])
    size = Size(frame["width"], frame["height"])
    part = frame_part(request.mass, size, depth, filling=frame.get("filling", request.mass))
    needed = plan_lift(request, limits).people_needed
    tilt = TiltRequest(size.height, depth, frame.get("head_joint"), frame.get("sill_joint"))
    ways = [LiftWay("as_it_is", (part,))]
    team = _team(request, limits)
    return Carrying(
        held=hold(part.burden, max(part.least_people, needed) if needed else None),
        tilt=tilt_in(tilt),
        access=judge_access(ways, read_way_in(access), team, access_rules(rules))
        if access is not None
        else None,
    )


def _team(request: LiftRequest, limits: LiftRules) -> Team:
    """Of people and hands as the request has them; women are counted first, for the safe side."""

    def lifts(mass: float, people: int) -> bool:
        women = min(request.women, people)
        asked = replace(request, mass=mass, people=people, women=women)
        return plan_lift(asked, limits).within_guideline

    return lifts
