"""Is a lift within the guideline for a team? A filter of manual handling, and no more than that.

Sources: HSE L23, the filter figures by zone of the hands and the shares of a team (from memory);
figures and shares come from the rule set. Masses in kg.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal, get_args

from jobs.arithmetic.errors import UnusableInput
from jobs.sentences import sentence

Zone = Literal[
    "shoulder_height_and_above",
    "shoulder_to_elbow",
    "elbow_to_knuckle",
    "knuckle_to_mid_lower_leg",
    "below_mid_lower_leg",
]
Reach = Literal["close", "far"]
ZONES: tuple[Zone, ...] = get_args(Zone)
"""Zones of the hands, from the top down."""
CAUTIONS = (
    sentence(
        "A filter that says when to look closer, never a certificate that a load is safe to lift."
    ),
    sentence(
        "It holds for a firm grip, a straight back, dry level ground and few lifts an hour; assess "
        "the lift where any of that is missing, or where somebody in the team is unwell or "
        "pregnant."
    ),
    sentence(
        "Glass and frames catch the wind: two hold while one steadies, and none stands below."
    ),
    sentence("Local rules on manual handling prevail."),
)
AID = sentence(
    "No team that the guideline knows lifts this: use a lifting aid, or lift it in parts."
)


@dataclass(frozen=True, slots=True)
class FilterFigures:
    """kg that one person may lift with the hands in a zone, close to the body or far from it."""

    men_close: float
    men_far: float
    women_close: float
    women_far: float


@dataclass(frozen=True, slots=True)
class LiftRules:
    """`team_shares`: of the sum of what each can lift alone, the share for one, two, three."""

    figures: Mapping[Zone, FilterFigures]
    team_shares: tuple[float, ...]
    sources: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class LiftRequest:
    """`position`: where the hands take hold; `set_down`: where they let go, the same when None.
    `women`: how many of the people the women's figures are taken for."""

    mass: float
    people: int
    position: Zone = "elbow_to_knuckle"
    set_down: Zone | None = None
    reach: Reach = "close"
    women: int = 0


@dataclass(frozen=True, slots=True)
class LiftAnswer:
    """`guideline` is what the guideline lets the team lift, kg; `people_needed` is None with
    `mechanical_aid` where no team that it knows lifts the mass."""

    within_guideline: bool
    guideline: float
    zone: Zone
    people_needed: int | None
    mechanical_aid: bool
    sources: tuple[str, ...]
    cautions: tuple[str, ...]


def plan_lift(request: LiftRequest, rules: LiftRules) -> LiftAnswer:
    """Hold a mass against the team guideline. Raises `UnusableInput` for a team that cannot be.

    Of several zones that the hands pass through, the one with the smallest figure counts. The
    guideline gives no share for more than three, so a larger team counts as its best three.
    """
    _check(request)
    zone = _hardest_zone(request, rules)
    figures = _figures_of_team(request, rules.figures[zone])
    needed = _people_needed(request.mass, figures, rules.team_shares)
    return LiftAnswer(
        within_guideline=needed is not None and needed <= request.people,
        guideline=_guideline(figures, rules.team_shares),
        zone=zone,
        people_needed=needed,
        mechanical_aid=needed is None,
        sources=rules.sources,
        cautions=CAUTIONS if needed else (AID, *CAUTIONS),
    )


def _check(request: LiftRequest) -> None:
    if request.mass <= 0:
        raise UnusableInput(
            "/mass", sentence("{mass:g} kg is no mass; give more than 0", mass=request.mass)
        )
    if request.people < 1:
        raise UnusableInput("/people", sentence("give 1 or more"))
    if not 0 <= request.women <= request.people:
        raise UnusableInput(
            "/women", sentence("give 0 to {people}, of the people", people=request.people)
        )


def _hardest_zone(request: LiftRequest, rules: LiftRules) -> Zone:
    ends = (request.position, request.set_down or request.position)
    first, last = sorted(ZONES.index(zone) for zone in ends)
    return min(ZONES[first : last + 1], key=lambda zone: rules.figures[zone].men_close)


def _figures_of_team(request: LiftRequest, of_zone: FilterFigures) -> list[float]:
    """kg that each can lift alone, the strongest first."""
    close = request.reach == "close"
    man = of_zone.men_close if close else of_zone.men_far
    woman = of_zone.women_close if close else of_zone.women_far
    return [man] * (request.people - request.women) + [woman] * request.women


def _people_needed(mass: float, figures: list[float], shares: tuple[float, ...]) -> int | None:
    """Those there are, the strongest first; whoever must be added counts as the weakest."""
    team = figures + [min(figures)] * len(shares)
    for people in range(1, len(shares) + 1):
        if mass <= _guideline(team[:people], shares):
            return people
    return None


def _guideline(figures: list[float], shares: tuple[float, ...]) -> float:
    """kg of the best team that these people can form."""
    known = figures[: len(shares)]
    return max(shares[n] * sum(known[: n + 1]) for n in range(len(known)))
