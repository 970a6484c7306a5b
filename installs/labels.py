"""Steps of a plan as a page lists them: the state of each, what it asks for, where it is done."""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import groupby
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from installs.arithmetic.criteria import Criterion
from installs.models import Inspection, PlanStep
from installs.services.inspecting import criteria_of
from installs.state import InstallationState, StepState
from jobs.code_labels import code_label

PHASES = {
    PlanStep.Phase.PREPARE: gettext_lazy("Prepare"),
    PlanStep.Phase.REMOVAL: gettext_lazy("Take the old door out"),
    PlanStep.Phase.SETTING: gettext_lazy("Set the frame"),
    PlanStep.Phase.FIXING: gettext_lazy("Fix the frame"),
    PlanStep.Phase.GLAZING: gettext_lazy("Leaves and glass"),
    PlanStep.Phase.FINISHING: gettext_lazy("Finish"),
    PlanStep.Phase.HANDOVER: gettext_lazy("Hand over"),
}
# Steps whose work is entered part by part on the map, before the step itself is recorded.
ON_THE_MAP = {
    "jamb_fixings": gettext_lazy("Enter each fixing at its member."),
    "head_fixings": gettext_lazy("Enter each fixing at the head."),
    "sill_fixings": gettext_lazy("Enter each fixing at the sill."),
    "beads_off": gettext_lazy("Enter each bead with its number."),
    "gaps": gettext_lazy("Enter the gaps at every junction."),
    "blocks": gettext_lazy("Enter blocks and brace at each sash on the map."),
    "glass_marking": gettext_lazy("Enter the marking of the glass at each sash on the map."),
    "beads_back": gettext_lazy("Record that the beads are back, sash by sash."),
    "gaps_again": gettext_lazy("Enter the gaps at every junction again."),
}
# By the stage of the survey that packers and fixings follow from; None where there is none.
PLANNED_FROM = {
    None: gettext_lazy("Packers are made up on the day: no fit was decided on site."),
    "before_removal": gettext_lazy(
        "Packers and fixings are planned from the survey before the old door came out; measured "
        "again with the old door out, they are planned anew."
    ),
    "after_removal": gettext_lazy(
        "Packers and fixings are planned from the survey with the old door out."
    ),
}
# How what is judged follows from what is read, with the places that it is read at.
METHODS = {
    "direct": "",
    "difference": gettext_lazy("{first} less {last}"),
    "spread": gettext_lazy("the greatest less the least of: {places}"),
    "count": "",
}


@dataclass(frozen=True, slots=True)
class Limit:
    """What is judged at a step: its limits as the filter `limits` writes them; `how` it follows
    from what is read, empty where it is read itself."""

    name: str
    lower: float | None
    upper: float | None
    unit: str
    how: str

    @property
    def limits(self) -> dict[str, Any]:
        return {"lower": self.lower, "upper": self.upper, "unit": self.unit}


@dataclass(frozen=True, slots=True)
class StepEntry:
    """A step with its state as `{% state %}` takes it."""

    step: PlanStep
    inspection: Inspection | None
    state: str
    label: str
    is_next: bool
    photo_missing: bool

    @property
    def limits(self) -> list[Limit]:
        return [_limit(name, criterion) for name, criterion in criteria_of(self.step).items()]

    @property
    def sources(self) -> list[str]:
        """Where the limits come from, each source once."""
        return list(
            dict.fromkeys(criterion.source for criterion in criteria_of(self.step).values())
        )

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
        return str(ON_THE_MAP.get(self.step.on_the_map, ""))

    @property
    def at_handover(self) -> bool:
        return self.step.phase == PlanStep.Phase.HANDOVER


@dataclass(frozen=True, slots=True)
class PhaseEntry:
    code: str
    name: str
    steps: list[StepEntry]

    @property
    def done(self) -> int:
        return sum(step.state == "done" for step in self.steps)

    @property
    def holds_next(self) -> bool:
        return any(step.is_next for step in self.steps)


def phases_of(state: InstallationState) -> list[PhaseEntry]:
    """All steps in working order, by phase."""
    by_phase = groupby(steps_of(state), key=lambda entry: entry.step.phase)
    return [
        PhaseEntry(phase, str(PHASES[PlanStep.Phase(phase)]), list(steps))
        for phase, steps in by_phase
    ]


def steps_of(state: InstallationState) -> Iterator[StepEntry]:
    """The first step that has not passed is the next step."""
    has_next = False
    for step in state.steps:
        is_next = not step.passed and not has_next
        has_next = has_next or is_next
        yield _entry(step, state, is_next=is_next)


def _entry(step: StepState, state: InstallationState, *, is_next: bool) -> StepEntry:
    name, label = _state(step, is_next=is_next)
    waits = step.inspection is not None and "photo" in step.step.evidence
    return StepEntry(
        step=step.step,
        inspection=step.inspection,
        state=name,
        label=label,
        is_next=is_next,
        photo_missing=waits and step.step.pk not in state.steps_with_photo,
    )


def _state(step: StepState, *, is_next: bool) -> tuple[str, str]:
    if step.inspection is None:
        return ("next", _("next")) if is_next else ("waiting", _("not yet"))
    if step.passed:
        return "done", _("accepted as it is") if step.conceded else _("done")
    return step.inspection.outcome, code_label(step.inspection.outcome)


def _limit(name: str, criterion: Criterion) -> Limit:
    places = [code_label(place) for place in criterion.of]
    counted = criterion.method == "count"
    how = str(METHODS[criterion.method])
    return Limit(
        # What is counted is named by its unit.
        name=_("counted with the customer") if counted else code_label(name),
        lower=criterion.lower,
        upper=criterion.upper,
        unit=criterion.unit,
        how=how.format(first=places[0], last=places[-1], places=", ".join(places)),
    )
