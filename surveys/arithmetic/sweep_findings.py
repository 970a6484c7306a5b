"""Whether folded leaves have room where they stand, and pass what stands there: findings, mm.

What is out is measured from the face of the wall on the side that the leaves fold to, and along
from the left edge of the opening as seen from outside.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any, Literal

from jobs.arithmetic.stack import FoldingChains, folded_stacks, greatest_reach
from jobs.sentences import StoredSentence, sentence
from surveys.arithmetic.findings import Finding

Face = Literal["outside", "inside"]
STACK_ROOM = StoredSentence(
    "The folded leaves stand {projection:.0f} mm out from the wall; with {clearance:g} mm kept "
    "free that is more than the {room:g} mm of room recorded."
)
IN_THE_SWEEP = StoredSentence(
    "The leaves meet what stands {distance:g} mm out from the wall, {start:g} to {end:g} mm from "
    "the left ({obstruction}): there they come out by {reach:.0f} mm, and {clearance:g} mm are "
    "kept free."
)
NOT_PLACED = StoredSentence(
    "In the way of the leaves may be: {obstructions}. Where it stands was not measured, so nothing "
    "shows that the leaves pass it."
)


@dataclass(frozen=True, slots=True)
class Obstruction:
    """What stands higher than the sill on one side of the wall."""

    obstruction: str
    along: float
    distance: float
    width: float = 0.0
    side: Face = "outside"


@dataclass(frozen=True, slots=True)
class LeafSpace:
    """`behind`: how far the face of the leaves stands behind that of the wall which they fold
    out of, 0 where nobody has measured it."""

    chains: FoldingChains
    face: Face
    behind: float

    def reach(self, obstruction: Obstruction, clearance: float) -> float:
        """How far leaves come out from the wall within a clearance of an obstruction; 0 where they
        do not come."""
        start = obstruction.along - clearance
        end = obstruction.along + obstruction.width + clearance
        return max(0.0, greatest_reach(self.chains, start, end) - self.behind)

    def meets(self, obstruction: Obstruction, clearance: float) -> bool:
        if obstruction.side != self.face:
            return False
        reach = self.reach(obstruction, clearance)
        return reach > 0 and obstruction.distance < reach + clearance


@dataclass(frozen=True, slots=True)
class StackLimit:
    """How much is kept free beside leaves."""

    clearance: float
    source: str


def obstructions_in(conditions: Mapping[str, Any]) -> tuple[Obstruction, ...]:
    """Those of a survey's conditions whose place was measured."""
    return tuple(Obstruction(**place) for place in conditions.get("obstruction_places", ()))


def sweep_findings(
    conditions: Mapping[str, Any], space: LeafSpace, limit: StackLimit
) -> tuple[Finding, ...]:
    """From the room and the obstructions that a survey recorded; without either none."""
    placed = obstructions_in(conditions)
    return (
        *_stack_room(conditions.get("stack_room"), space, limit),
        *_in_the_sweep(placed, space, limit),
        *_not_placed(conditions.get("obstructions", ()), placed, limit),
    )


def _stack_room(room: float | None, space: LeafSpace, limit: StackLimit) -> Iterable[Finding]:
    projection = max(stack.projection for stack in folded_stacks(space.chains)) - space.behind
    if room is None or projection + limit.clearance <= room:
        return
    what = STACK_ROOM(projection=projection, clearance=limit.clearance, room=room)
    caution = sentence(
        "Agree before it is ordered where the leaves stand: more and narrower leaves, the other "
        "jamb, or the other side of the wall. Folded leaves close on fingers; keep children away."
    )
    yield Finding("stack_room", what, caution, limit.source)


def _in_the_sweep(
    placed: Iterable[Obstruction], space: LeafSpace, limit: StackLimit
) -> Iterable[Finding]:
    for one in placed:
        if space.meets(one, limit.clearance):
            what = IN_THE_SWEEP(
                obstruction=one.obstruction,
                distance=one.distance,
                start=one.along,
                end=one.along + one.width,
                reach=space.reach(one, limit.clearance),
                clearance=limit.clearance,
            )
            caution = sentence(
                "Have it moved, or another fold ordered: glass breaks on what a leaf swings "
                "against, and a hand is caught between them. What carries gas, water or "
                "electricity is for a person licensed to move it."
            )
            yield Finding("leaf_sweep", what, caution, limit.source)


def _not_placed(
    named: Iterable[str], placed: tuple[Obstruction, ...], limit: StackLimit
) -> Iterable[Finding]:
    left = [name for name in named if name not in {one.obstruction for one in placed}]
    if left:
        caution = sentence(
            "Measure how far along and how far out it stands before a doorset is ordered."
        )
        yield Finding(
            "obstruction", NOT_PLACED(obstructions=", ".join(left)), caution, limit.source
        )
