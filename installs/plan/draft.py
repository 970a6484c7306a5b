"""What the fitting plan of a doorset depends on, and what one of its steps says."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from installs.arithmetic.access import AccessAnswer
from installs.arithmetic.criteria import Criterion
from installs.arithmetic.members import HeadFixing
from installs.arithmetic.tilt import TiltAnswer
from installs.plan.frame_lift import FrameLift
from jobs.arithmetic.fold import Fold
from surveys.arithmetic.uncertainty import InstrumentKind

Phase = Literal["prepare", "removal", "setting", "fixing", "glazing", "finishing", "handover"]
Evidence = Literal["reading", "count", "checks", "acknowledgement", "photo"]
# Of the fitting; `installs.gates.CONDITIONS` has all that each waits for.
Gate = Literal["fixing", "glazing", "handover"]
# What is on record before a step can pass; `installs.services.on_record` looks for each.
Register = Literal[
    "", "survey_after_removal", "beads_off", "fixings", "gaps", "beads_back", "gaps_after_glass"
]
# What the work of a step is entered as, part by part, on the map of the doorset.
MapEntry = Literal[
    "",
    "jamb_fixings",
    "head_fixings",
    "sill_fixings",
    "beads_off",
    "gaps",
    "blocks",
    "glass_marking",
    "beads_back",
    "gaps_again",
]
SafetyLeader = Literal["", "this_firm", "principal_contractor", "not_known"]
# Asked for beside the evidence, by the name of the field that answers it.
Ask = Literal[
    "sealant_class",
    "sealant_use_by",
    "surface_temperature",
    "air_temperature",
    "relative_humidity",
    "return_on",
    "lifted_with",
]


@dataclass(frozen=True, slots=True)
class FittingFacts:
    """The doorset as delivered: frame sizes in mm, how the crew of the visit lifts it in, how it
    gets there (None where the way in was not measured), and how it goes into its opening.

    `longest_pane_edge` in mm, of all panes; 0 where nothing was worked out.
    `walls`: what the members are fixed into, by their names, as far as a survey says; so does
    `safety_led_by`, empty where none does."""

    fold: Fold
    frame_width: float
    frame_height: float
    frame_lift: FrameLift
    access: AccessAnswer | None
    tilt: TiltAnswer
    head_fixing: HeadFixing
    ends_through_track: bool
    toe_and_heel_device: bool
    longest_pane_edge: float = 0.0
    walls: Mapping[str, str] = field(default_factory=dict)
    safety_led_by: SafetyLeader = ""


@dataclass(frozen=True, slots=True)
class StepDraft:
    """One step; `criteria` by the name of what is judged, `checks` in words by the name of what is
    looked at; `order` holds the names of both as they are worked through. A hold point must have
    passed before any later step is recorded. A photo is sent beside the inspection and may follow
    it; the handover waits for it.

    `gates` wait for the step. A failure that is `critical` can hurt somebody at once: nobody
    concedes it. Readings are taken with one of `instruments`, where only some can read them; any
    can where that is empty. Everything that a step does follows from these: no code asks which step
    it is by its `code`, which is a name for people, rule sets and concessions."""

    code: str
    title: str
    phase: Phase
    evidence: tuple[Evidence, ...] = ("acknowledgement",)
    criteria: dict[str, Criterion] = field(default_factory=dict)
    checks: dict[str, str] = field(default_factory=dict)
    caution: str = ""
    hold_point: bool = False
    critical: bool = False
    gates: tuple[Gate, ...] = ("handover",)
    register: Register = ""
    on_the_map: MapEntry = ""
    asks: tuple[Ask, ...] = ()
    instruments: tuple[InstrumentKind, ...] = ()
    order: tuple[str, ...] = field(init=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "order", (*self.criteria, *self.checks))
