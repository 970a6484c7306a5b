"""How the steps and junctions of an installation stand by what was recorded last."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from installs.models import Concession, Inspection, Installation, JunctionGap, PlanStep


@dataclass(frozen=True, slots=True)
class StepStanding:
    """A step with its newest inspection, and whether that was conceded since."""

    step: PlanStep
    inspection: Inspection | None
    conceded: bool

    @property
    def passed(self) -> bool:
        if self.inspection is None:
            return False
        return self.conceded or self.inspection.outcome == Inspection.Outcome.PASS


def step_standings(installation: Installation) -> list[StepStanding]:
    """All steps in plan order. A concession accepts what was found before it, nothing later."""
    made = Inspection.objects.filter(step__installation=installation).order_by("created_at", "id")
    newest = {inspection.step_id: inspection for inspection in made}
    concessions = list(installation.concessions.all())
    return [
        _standing(step, newest.get(step.pk), concessions)
        for step in installation.steps.order_by("number")
    ]


def newest_gaps(installation: Installation) -> dict[int, JunctionGap]:
    """The newest pair of gaps of every junction that was read."""
    return {gap.junction: gap for gap in installation.gaps.order_by("created_at", "id")}


def conceded_since(concessions: Iterable[Concession], code: str, moment: datetime | None) -> bool:
    """Whether a concession of this code accepts what was recorded at `moment`."""
    return any(
        concession.code == code and (moment is None or concession.created_at >= moment)
        for concession in concessions
    )


def _standing(
    step: PlanStep, inspection: Inspection | None, concessions: list[Concession]
) -> StepStanding:
    if inspection is None:
        return StepStanding(step, None, conceded=False)
    own = [concession for concession in concessions if concession.step_id == step.pk]
    return StepStanding(step, inspection, conceded_since(own, step.code, inspection.created_at))
