"""The state of an installation by what was recorded of it."""

from dataclasses import dataclass
from datetime import datetime
from functools import cached_property
from uuid import UUID

from installs.arithmetic.members import PlannedMember
from installs.models import (
    Bead,
    Concession,
    Defect,
    Fixing,
    Inspection,
    Installation,
    JunctionGap,
    PackerChange,
    PlanStep,
    SashRecord,
)
from jobs.errors import Blocker
from surveys.gates import fixing_gate_for, removal_gate_for


@dataclass(frozen=True, slots=True)
class StepState:
    """A step of an installation with its newest inspection."""

    step: PlanStep
    inspection: Inspection | None
    state: "InstallationState"

    @property
    def conceded(self) -> bool:
        """Whether its newest inspection was conceded since."""
        inspection = self.inspection
        return inspection is not None and self.state.conceded(self.step.code, inspection.created_at)

    @property
    def passed(self) -> bool:
        if self.inspection is None:
            return False
        return self.inspection.outcome == Inspection.Outcome.PASS or self.conceded


class InstallationState:
    """What is on record of an installation; each kind is read once, when it is first asked for."""

    def __init__(self, installation: Installation) -> None:
        self.installation = installation
        self.rules = installation.rule_set.rules

    @cached_property
    def before_removal(self) -> list[Blocker]:
        """What is in the way of taking the old door out, and so of all that comes after it."""
        return removal_gate_for(self.installation.doorset)

    @cached_property
    def before_fixing(self) -> list[Blocker]:
        """The same, and what the wall that came to light then has against the frame."""
        return fixing_gate_for(self.installation.doorset)

    @property
    def members(self) -> tuple[PlannedMember, ...]:
        """The frame members of the plan, each with its planned fixings."""
        return self.installation.plan.fixing_layout.members

    @cached_property
    def steps(self) -> list[StepState]:
        """All steps, in plan order."""
        made = Inspection.objects.filter(step__installation=self.installation)
        newest = {
            inspection.step_id: inspection for inspection in made.order_by("created_at", "id")
        }
        steps = self.installation.steps.order_by("number")
        return [StepState(step, newest.get(step.pk), self) for step in steps]

    @cached_property
    def concessions(self) -> list[Concession]:
        return list(self.installation.concessions.all())

    @cached_property
    def fixings(self) -> list[Fixing]:
        return list(self.installation.fixings.all())

    @cached_property
    def packer_changes(self) -> list[PackerChange]:
        return list(self.installation.packer_changes.all())

    @cached_property
    def reading_inspections(self) -> list[Inspection]:
        """All that read something, in their order."""
        made = Inspection.objects.filter(
            step__installation=self.installation, readings__isnull=False
        )
        return list(made.distinct().order_by("created_at", "id").prefetch_related("readings"))

    @property
    def joint_is_filled(self) -> bool:
        """Whether the step that closes the register of fixings has passed: foam is in the joint."""
        return any(step.step.register == "fixings" and step.passed for step in self.steps)

    @cached_property
    def newest_gaps(self) -> dict[int, JunctionGap]:
        """The newest pair of gaps of every junction that was read."""
        return {gap.junction: gap for gap in self.installation.gaps.order_by("created_at", "id")}

    @cached_property
    def beads(self) -> list[Bead]:
        return list(self.installation.beads.order_by("leaf", "number"))

    @cached_property
    def steps_with_photo(self) -> set[UUID]:
        photos = self.installation.photos.filter(step__isnull=False)
        return set(photos.values_list("step_id", flat=True))

    @cached_property
    def sashes(self) -> dict[int, SashRecord]:
        return {sash.leaf: sash for sash in self.installation.sashes.all()}

    @cached_property
    def open_defects(self) -> list[Defect]:
        return list(self.installation.defects.open().order_by("created_at", "id"))

    def conceded(self, code: str, recorded_at: datetime) -> bool:
        """Whether what was recorded then was accepted since. A concession accepts what was found
        before it, and nothing that is found later."""
        return any(c.code == code and c.created_at >= recorded_at for c in self.concessions)

    def concedes(self, defect: Defect) -> bool:
        return any(concession.defect_id == defect.pk for concession in self.concessions)
