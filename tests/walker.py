"""A fitting from its first step to its last: what is recorded, in the order of the plan.

Who fits in a test takes the entries from here and records them in a way of its own: through the
services, in the queue of a phone, or always the first that is not on record yet.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any

from installs.arithmetic.criteria import PlacedValue, places_to_read
from installs.models import Bead, Installation, PlanStep
from installs.services.inspecting import criteria_of

Place = dict[str, Any]


@dataclass(frozen=True)
class Entry:
    """One thing to record: its kind, as the operations of a phone are named, and where it is."""

    kind: str
    subject: Installation | PlanStep
    place: Place


# What is recorded of a place where all is in order.
FIXING: dict[str, Any] = {"kind": "frame_screw", "packers": [5]}
GAP: dict[str, Any] = {"head_gap": 4, "sill_gap": 4}
SASH: dict[str, Any] = {
    "blocks_set": True,
    "brace_set": True,
    "glass_marking": "EN 12150-1 1(C)2, EN 12150-1 1(C)2",
}


def steps_before(installation: Installation, until: str = "handover") -> Iterator[PlanStep]:
    """The steps of the plan up to the phase or step named by `until`."""
    for step in installation.steps.order_by("number"):
        if until in (step.phase, step.code):
            return
        yield step


def entries(step: PlanStep) -> Iterator[Entry]:
    """What is recorded beside a step before it, the step itself, and its photo."""
    yield from entries_beside(step)
    yield Entry("inspect_step", step, {})
    if "photo" in step.evidence:
        yield Entry("add_photo", step, {})


def entries_beside(step: PlanStep) -> Iterator[Entry]:
    if step.code in BESIDE_A_STEP:
        kind, places = BESIDE_A_STEP[step.code]
        for place in places(step.installation):
            yield Entry(kind, step.installation, place)


def evidence(step: PlanStep, **readings: float) -> dict[str, Any]:
    """What a step asks for, all of it in order, save the `readings` that are named."""
    given: dict[str, Any] = {}
    if places := places_to_read(criteria_of(step)):
        given["readings"] = [
            PlacedValue(place, readings.get(place, max(0.0, criterion.lowest)))
            for place, criterion in places.items()
        ]
    if step.checks:
        given["checks"] = dict.fromkeys(step.checks, True)
    if "acknowledgement" in step.evidence:
        given["acknowledged"] = True
    if "lifted_with" in step.asks:
        given["lifted_with"] = "Two of the builder's men"
    if step.code == "seal":
        given["sealant_class"] = 25
    if step.register == "survey_after_removal":
        given["note"] = "Read by hand, no network: 3612 wide, 2115 high; the frame goes in."
    return given


def _beads(installation: Installation) -> Iterator[Place]:
    """In the order in which they come off and go back."""
    for leaf in installation.plan.leaves:
        for side in Bead.Side.values:
            yield {"leaf": leaf.number, "side": side}


def _fixings(installation: Installation) -> Iterator[Place]:
    for member in installation.plan.fixing_layout.members:
        for position in member.positions:
            yield {"member": member.name, "position": position}


def _junctions(installation: Installation) -> Iterator[Place]:
    return ({"junction": junction.number} for junction in installation.plan.junctions)


def _leaves(installation: Installation) -> Iterator[Place]:
    return ({"leaf": leaf.number} for leaf in installation.plan.leaves)


# What is recorded before the step itself is.
BESIDE_A_STEP: dict[str, tuple[str, Callable[[Installation], Iterator[Place]]]] = {
    "beads_off": ("take_bead_off", _beads),
    "clear_height": ("record_fixing", _fixings),
    "running_gear": ("record_gap", _junctions),
    "glass_in": ("record_sash", _leaves),
    "beads_back": ("put_bead_back", _beads),
    "gaps_again": ("record_gap", _junctions),
}
