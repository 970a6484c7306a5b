"""The state of an installation by what was recorded of it."""

from dataclasses import dataclass
from datetime import datetime
from functools import cached_property
from uuid import UUID

from django.db.models import prefetch_related_objects
from django.utils import timezone

from installs.arithmetic.members import PlannedMember
from installs.models import (
    Bead,
    Concession,
    Defect,
    Fixing,
    Handover,
    Inspection,
    Installation,
    JunctionGap,
    PackerChange,
    PlanStep,
    Reading,
    SashRecord,
    SitePhoto,
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
    def short_places(self) -> list[str]:
        """What its newest inspection fell short at and nobody has accepted since."""
        inspection = self.inspection
        if inspection is None:
            return []
        code, found_at = self.step.code, inspection.created_at
        return [
            place
            for place in inspection.short_places
            if not self.state.conceded(code, found_at, place)
        ]

    @property
    def conceded(self) -> bool:
        """Whether all that its newest inspection fell short at was accepted since."""
        return self.passed and bool(self.inspection and self.inspection.short_places)

    @property
    def passed(self) -> bool:
        return self.inspection is not None and not self.short_places


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
        steps = list(self.installation.steps.order_by("number"))
        for step in steps:
            if step.pk in newest:
                newest[step.pk].step = step
        short = [i for i in newest.values() if i.outcome != Inspection.Outcome.PASS]
        prefetch_related_objects(short, "readings")
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
    def readings_taken(self) -> list[tuple[datetime, list[Reading]]]:
        """Those of each inspection that read something, by when it was recorded, in their order."""
        made = Inspection.objects.filter(
            step__installation=self.installation, readings__isnull=False
        )
        in_order = made.distinct().order_by("created_at", "id").prefetch_related("readings")
        return [(inspection.created_at, list(inspection.readings.all())) for inspection in in_order]

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
        """Steps that a picture shows which was not sent for another step of the job before."""
        photos = SitePhoto.objects.filter(
            step__isnull=False, installation__doorset__opening__job=self.installation.job
        )
        first: dict[str, UUID | None] = {}
        in_order = photos.order_by("created_at", "id")
        for digest, step in in_order.values_list("sha256", "step_id"):
            first.setdefault(digest, step)
        return {step for step in first.values() if step}

    @cached_property
    def sashes(self) -> dict[int, SashRecord]:
        return {sash.leaf: sash for sash in self.installation.sashes.all()}

    @cached_property
    def open_defects(self) -> list[Defect]:
        return list(self.installation.defects.open().order_by("created_at", "id"))

    @cached_property
    def is_handed_over(self) -> bool:
        return bool(self._handovers)

    @cached_property
    def _handovers(self) -> list[Handover]:
        """Those that this doorset was part of."""
        key = str(self.installation.pk)
        return [one for one in self.installation.job.handovers.all() if key in one.keys]

    def is_left_to_come(self, defect: Defect) -> bool:
        """Whether the customer signed for it as still to come, or will be asked to; what was found
        or left since they signed is not covered."""
        if not defect.is_minor or defect.to_come_by is None:
            return False
        if self.is_handed_over:
            return self.is_signed_for(defect)
        return defect.to_come_by >= timezone.localdate()

    def is_signed_for(self, defect: Defect) -> bool:
        """Whether it was named above the signature of a handover of this doorset."""
        signed = {entry["defect"] for one in self._handovers for entry in one.to_come}
        return str(defect.pk) in signed

    def conceded(self, code: str, recorded_at: datetime, place: str) -> bool:
        """Whether what was recorded then at a place was accepted since. A concession accepts what
        was found there before it, and nothing that is found later or elsewhere."""
        return any(
            (c.code, c.place) == (code, place) and c.created_at >= recorded_at
            for c in self.concessions
        )

    def concedes(self, defect: Defect) -> bool:
        return any(concession.defect_id == defect.pk for concession in self.concessions)
