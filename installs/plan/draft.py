"""What the fitting plan of a doorset depends on, and what one of its steps says."""

from dataclasses import dataclass, field
from typing import Literal

from installs.arithmetic.criteria import Criterion
from installs.arithmetic.members import HeadFixing
from installs.plan.frame_lift import FrameLift
from jobs.arithmetic.fold import Fold

Phase = Literal["prepare", "removal", "setting", "fixing", "glazing", "finishing", "handover"]
Evidence = Literal["reading", "count", "checks", "acknowledgement", "photo"]


@dataclass(frozen=True, slots=True)
class FittingFacts:
    """The doorset as delivered: frame sizes in mm, and how the crew of the visit lifts it in."""

    fold: Fold
    frame_width: float
    frame_height: float
    frame_lift: FrameLift
    head_fixing: HeadFixing
    ends_through_track: bool
    toe_and_heel_device: bool


@dataclass(frozen=True, slots=True)
class StepDraft:
    """One step; `criteria` by the name of what is judged, `checks` in words by the name of what is
    looked at; `order` holds the names of both as they are worked through. A hold point must have
    passed before any later step is recorded. A photo is sent beside the inspection and may follow
    it; the handover waits for it."""

    code: str
    title: str
    phase: Phase
    evidence: tuple[Evidence, ...] = ("acknowledgement",)
    criteria: dict[str, Criterion] = field(default_factory=dict)
    checks: dict[str, str] = field(default_factory=dict)
    caution: str = ""
    hold_point: bool = False
    order: tuple[str, ...] = field(init=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "order", (*self.criteria, *self.checks))
