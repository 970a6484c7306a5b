"""Steps of a plan as a page shows them: how each stands, what it asks for, where it is done."""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import groupby
from typing import Any

from installs.arithmetic.criteria import Criterion
from installs.models import Inspection, PlanStep
from installs.services.inspecting import criteria_of
from installs.state import InstallationState, StepState
from jobs.code_labels import code_label

PHASES = {
    PlanStep.Phase.PREPARE: "Prepare",
    PlanStep.Phase.REMOVAL: "Take the old door out",
    PlanStep.Phase.SETTING: "Set the frame",
    PlanStep.Phase.FIXING: "Fix the frame",
    PlanStep.Phase.GLAZING: "Leaves and glass",
    PlanStep.Phase.FINISHING: "Finish",
    PlanStep.Phase.HANDOVER: "Hand over",
}
# Steps whose work is entered part by part on the map, before the step itself is recorded.
ON_THE_MAP = {
    "jamb_fixings": "Enter each fixing at its member on the map.",
    "head_fixings": "Enter each fixing at the head on the map.",
    "sill_fixings": "Enter each fixing at the sill on the map.",
    "beads_off": "Enter each bead at its sash on the map.",
    "gaps": "Enter the gaps at every junction on the map.",
    "blocks": "Enter blocks and brace at each sash on the map.",
    "glass_marking": "Enter the marking of the glass at each sash on the map.",
    "beads_back": "Say at each sash on the map that its beads are back.",
    "gaps_again": "Enter the gaps at every junction on the map, once more.",
}
METHODS = {
    "direct": "",
    "difference": "the first less the second",
    "spread": "the greatest less the least",
    "count": "counted",
}


@dataclass(frozen=True, slots=True)
class Limit:
    """What is judged at a step: its limits as the filter `limits` writes them, and its places."""

    name: str
    lower: float | None
    upper: float | None
    unit: str
    how: str
    places: list[str]

    @property
    def limits(self) -> dict[str, Any]:
        return {"lower": self.lower, "upper": self.upper, "unit": self.unit}


@dataclass(frozen=True, slots=True)
class ShownStep:
    """A step with its state as `{% state %}` takes it."""

    step: PlanStep
    inspection: Inspection | None
    state: str
    word: str
    is_next: bool
    photo_missing: bool

    @property
    def limits(self) -> list[Limit]:
        return [_limit(name, one) for name, one in criteria_of(self.step).items()]

    @property
    def sources(self) -> list[str]:
        """Where the limits come from, each source once."""
        return list(dict.fromkeys(one.source for one in criteria_of(self.step).values()))

    @property
    def checks(self) -> list[str]:
        return list(self.step.in_order(self.step.checks).values())

    @property
    def asks_to_confirm(self) -> bool:
        return "acknowledgement" in self.step.evidence

    @property
    def asks_for_photo(self) -> bool:
        return "photo" in self.step.evidence

    @property
    def on_the_map(self) -> str:
        return ON_THE_MAP.get(self.step.on_the_map, "")

    @property
    def at_handover(self) -> bool:
        return self.step.phase == PlanStep.Phase.HANDOVER


@dataclass(frozen=True, slots=True)
class ShownPhase:
    name: str
    steps: list[ShownStep]

    @property
    def done(self) -> int:
        return sum(one.state == "done" for one in self.steps)

    @property
    def holds_next(self) -> bool:
        return any(one.is_next for one in self.steps)


def phases_of(state: InstallationState) -> list[ShownPhase]:
    """All steps in working order, by phase."""
    by_phase = groupby(steps_of(state), key=lambda one: one.step.phase)
    return [ShownPhase(PHASES[PlanStep.Phase(phase)], list(steps)) for phase, steps in by_phase]


def steps_of(state: InstallationState) -> Iterator[ShownStep]:
    """The first step that has not passed is the next one."""
    found = False
    for one in state.steps:
        is_next = not one.passed and not found
        found = found or is_next
        yield _shown(one, state, is_next=is_next)


def _shown(one: StepState, state: InstallationState, *, is_next: bool) -> ShownStep:
    name, word = _state(one, is_next=is_next)
    waits = one.inspection is not None and "photo" in one.step.evidence
    return ShownStep(
        step=one.step,
        inspection=one.inspection,
        state=name,
        word=word,
        is_next=is_next,
        photo_missing=waits and one.step.pk not in state.steps_with_photo,
    )


def _state(one: StepState, *, is_next: bool) -> tuple[str, str]:
    if one.inspection is None:
        return ("next", "next") if is_next else ("waiting", "not yet")
    if one.passed:
        return "done", "accepted as it is" if one.conceded else "done"
    return one.inspection.outcome, one.inspection.get_outcome_display().lower()


def _limit(name: str, criterion: Criterion) -> Limit:
    return Limit(
        name=code_label(name),
        lower=criterion.lower,
        upper=criterion.upper,
        unit=criterion.unit,
        how=METHODS[criterion.method],
        places=[code_label(place) for place in criterion.of],
    )
