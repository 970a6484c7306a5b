"""How a doorset gets in by the way that was measured: whole, in parts, or not at all. Pure."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

from installs.arithmetic.holding import Steps, greatest_share
from installs.arithmetic.lift_ways import LiftedPart, LiftWay, What
from jobs.sentences import StoredSentence, sentence
from surveys.arithmetic.way_in import Edge, WayIn, WayRules, pass_way

AccessVerdict = Literal["as_it_is", "sashes_off", "glass_by_glass", "with_aid", "does_not_pass"]
Team = Callable[[float, int], bool]
"""Whether the guideline lets so many people lift so many kg."""
PASSES: dict[AccessVerdict, str] = {
    "as_it_is": sentence("It passes the way in as it comes."),
    "sashes_off": sentence(
        "It passes the way in, but with its sashes in it no team of the guideline carries it "
        "there: take the sashes off first, where and as the manufacturer allows it."
    ),
    "glass_by_glass": sentence(
        "It passes the way in, but with its glass in it no team of the guideline carries it there: "
        "carry it in frame by frame and glass by glass, where and as the manufacturer allows it."
    ),
    "with_aid": sentence(
        "It passes the way in, but no team of the guideline carries it there: plan a lifting aid "
        "that can go the whole way."
    ),
}
DOES_NOT_PASS = StoredSentence("It does not pass the way in: {obstacle}.")
OTHER_WAYS = (
    sentence("Look for another way in: past the house, through another room, over the garden."),
    sentence(
        "A lift over the house or a wall is for a specialist with a crane: somebody competent "
        "plans it, and nobody stands below (Lifting Operations and Lifting Equipment Regulations "
        "1998, regulation 8)."
    ),
    sentence(
        "Ask the manufacturer whether the frame comes in parts that are joined in the opening; "
        "what is made in one piece cannot be parted on site."
    ),
)
LEANED = StoredSentence("Lean it over by {lean:.0f} degrees at the lowest place of the way.")
ON_END = sentence("Carry the frame on its shorter edge: on the longer one it does not pass.")
ON_STEPS = StoredSentence(
    "On the steps whoever is lowest carries {share:.0f} % of the {what}: it needs {needs} there."
)
OVERTURNS = StoredSentence(
    "Do not carry the {what} upright on the steps: it would tip over whoever is lowest. Lay it "
    "back, and take a lifting aid that is made for steps."
)
TOO_FAR = StoredSentence(
    "The way is {distance:g} m; the guideline is for {limit:g} m without a rest: put it down on "
    "the way, or take a trolley."
)
GEAR = sentence("The survey asks for lifting gear: it is planned before anybody lifts.")
WALK = sentence(
    "What is worked out knows the sizes that were measured and no more: handles, pipes and lights "
    "stand in the way too. Walk the way with a lath as long as the frame before it is unloaded."
)
NEEDS = StoredSentence("{people} people or a lifting aid")
AN_AID = sentence("a lifting aid")
WHAT: dict[What, str] = {
    "frame": sentence("frame"),
    "sash": sentence("heaviest sash"),
    "pane": sentence("heaviest pane"),
}


@dataclass(frozen=True, slots=True)
class AccessRules:
    """`rise` in mm and `pitch` in degrees of steps; `without_rest` in m; `largest_team` that the
    guideline knows."""

    way: WayRules
    largest_team: int
    rise: float
    pitch: float
    without_rest: float
    sources: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class OnSteps:
    """What of a part falls to the lowest of its team on steps, and whether it tips over them."""

    lowest_share: float
    tips: bool


@dataclass(frozen=True, slots=True)
class PartAccess:
    """How one part gets in. `along`: the edge it is carried on, `on_end` where that
    is the shorter one; `lean` in degrees; `obstacle` in
    words. `on_steps` is None without steps; `people_needed` on this way, None for a lifting aid."""

    what: What
    leaf: int | None
    passes: bool
    along: Edge
    on_end: bool
    lean: float
    obstacle: str | None
    on_steps: OnSteps | None
    people_needed: int | None


@dataclass(frozen=True, slots=True)
class AccessAnswer:
    """`parts` are those of the way to lift it that the verdict names; `not_measured` names what of
    the passages nobody measured, which then stops nothing."""

    verdict: AccessVerdict
    what: str
    parts: tuple[PartAccess, ...]
    way_in: WayIn
    not_measured: tuple[str, ...]
    advice: tuple[str, ...]
    sources: tuple[str, ...]


def judge_access(
    ways: Sequence[LiftWay], way_in: WayIn, team: Team, rules: AccessRules, *, gear: bool = False
) -> AccessAnswer:
    """The first way to lift it whose frame and sashes a team carries in. Panes that come loose
    cannot be parted any further, so they decide nothing. `gear`: the survey asks for it."""
    carried = [tuple(_part_access(part, way_in, team, rules) for part in way.parts) for way in ways]
    verdict: AccessVerdict
    what: str
    stopped = next((part.obstacle for part in carried[-1] if part.obstacle), None)
    by_team = next((n for n, parts in enumerate(carried) if _goes_in(parts)), None)
    if stopped is not None:
        verdict, parts, what = "does_not_pass", carried[0], DOES_NOT_PASS(obstacle=stopped)
    elif by_team is None:
        verdict, parts, what = "with_aid", carried[0], PASSES["with_aid"]
    else:
        verdict, parts = ways[by_team].name, carried[by_team]
        what = PASSES[verdict]
    return AccessAnswer(
        verdict=verdict,
        what=what,
        parts=parts,
        way_in=way_in,
        not_measured=tuple(_not_measured(way_in)),
        advice=tuple(_advice(verdict, parts, way_in, rules, gear=gear)),
        sources=rules.sources,
    )


def team_on_way(
    part: LiftedPart, steps: Steps | None, team: Team, largest_team: int
) -> tuple[int | None, OnSteps | None]:
    """The fewest people of whom none carries more than an even share of what the guideline lets so
    many lift, None where no team does; and how the part hangs on them on steps, None on the flat.
    """
    on_steps = None
    for people in range(part.least_people, largest_team + 1):
        on_steps = _on_steps(part, people, steps)
        lowest = on_steps.lowest_share if on_steps else 1 / people
        tips = on_steps is not None and on_steps.tips
        if not tips and team(part.burden.mass * lowest * people, people):
            return people, on_steps
    return None, on_steps


def _on_steps(part: LiftedPart, people: int, steps: Steps | None) -> OnSteps | None:
    if steps is None:
        return None
    share = greatest_share(part.burden, people, steps)
    return OnSteps(share, tips=share > 2 / people)


def _part_access(part: LiftedPart, way: WayIn, team: Team, rules: AccessRules) -> PartAccess:
    passing = pass_way(part.plate, way, rules.way)
    steps = Steps(way.steps, rules.rise, rules.pitch) if way.steps else None
    people, on_steps = team_on_way(part, steps, team, rules.largest_team)
    return PartAccess(
        what=part.what,
        leaf=part.leaf,
        passes=passing.passes,
        along=passing.along,
        on_end=passing.along != part.plate.longer,
        lean=passing.lean,
        obstacle=passing.obstacle,
        on_steps=on_steps,
        people_needed=people,
    )


def _goes_in(parts: Sequence[PartAccess]) -> bool:
    return all(
        part.passes and (part.people_needed is not None or part.what == "pane") for part in parts
    )


def _not_measured(way: WayIn) -> Iterator[str]:
    for name in ("passage_width", "passage_height"):
        if getattr(way, name) is None:
            yield name


def _advice(
    verdict: AccessVerdict,
    parts: Sequence[PartAccess],
    way: WayIn,
    rules: AccessRules,
    *,
    gear: bool,
) -> Iterator[str]:
    if verdict == "does_not_pass":
        yield from OTHER_WAYS
    else:
        yield from _how_to_carry(parts)
    if gear:
        yield GEAR
    if way.distance is not None and way.distance > rules.without_rest:
        yield TOO_FAR(distance=way.distance, limit=rules.without_rest)
    yield WALK


def _how_to_carry(parts: Sequence[PartAccess]) -> Iterator[str]:
    frame = parts[0]
    if frame.on_end:
        yield ON_END
    if frame.lean:
        yield LEANED(lean=frame.lean)
    for part in parts:
        if part.on_steps is None:
            continue
        if part.on_steps.tips:
            yield OVERTURNS(what=WHAT[part.what])
        else:
            needs = NEEDS(people=part.people_needed) if part.people_needed else AN_AID
            yield ON_STEPS(
                share=100 * part.on_steps.lowest_share, what=WHAT[part.what], needs=needs
            )
