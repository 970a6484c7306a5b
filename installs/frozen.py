"""The frozen plan of a fitting; lengths in mm, masses in kg."""

from dataclasses import dataclass

from msgspec import UNSET

from installs.arithmetic.access import AccessAnswer
from installs.arithmetic.chains import Chain
from installs.arithmetic.glazing_plan import GlazingPlan
from installs.arithmetic.holding import Held
from installs.arithmetic.joint_movement import Governs, SmallestJoint, Temperatures, Verdict
from installs.arithmetic.kit import Kit
from installs.arithmetic.lift import LiftAnswer
from installs.arithmetic.members import FixingRules, HeadFixing, PlannedMember
from installs.arithmetic.season import SeasonRules
from installs.arithmetic.tilt import TiltAnswer
from installs.plan.frame_lift import HungSashes
from jobs.arithmetic.doorset import Leaf
from jobs.arithmetic.fold import Junction
from jobs.frozen import FrozenKind, Plain
from jobs.rules import BorrowedRules
from jobs.sentences import sentence
from surveys.arithmetic.answers import WholeSize


@dataclass(frozen=True, slots=True)
class FixingLayout:
    members: tuple[PlannedMember, ...]
    rules: FixingRules
    sources: tuple[str, ...]

    def member(self, name: str) -> PlannedMember:
        return next(member for member in self.members if member.name == name)


@dataclass(frozen=True, slots=True)
class Substrate:
    """What a member is fixed into, and how that is done."""

    substrate: str
    fixing: str


@dataclass(frozen=True, slots=True)
class PlannedLift(LiftAnswer):
    """What is lifted in one go, and what the guideline says of the crew lifting it; `held` is None
    in plans from before that was worked out."""

    mass: float
    held: Held | None


@dataclass(frozen=True, slots=True)
class PlannedFrameLift(PlannedLift):
    """`with_sashes`: how they hang in the frame while it is lifted; None where none do."""

    with_sashes: HungSashes | None


@dataclass(frozen=True, slots=True)
class PlannedPaneLift(PlannedLift):
    leaf: int


@dataclass(frozen=True, slots=True)
class PlannedSashLift(PlannedLift):
    leaf: int
    glazed: bool


@dataclass(frozen=True, slots=True)
class PlannedSashesOff:
    """The lifts that remain where hung sashes are taken off first, and when that may be done."""

    condition: str
    frame: PlannedLift
    heaviest_sash: PlannedSashLift


@dataclass(frozen=True, slots=True)
class LiftPlan:
    """Everything that is lifted in one go: `sashes` and `panes` are those that come loose. `access`
    is None where no survey measured the way in; it and `tilt` in older plans."""

    people: int
    assumed: str
    frame: PlannedFrameLift
    sashes_off: PlannedSashesOff | None
    sashes: tuple[PlannedSashLift, ...]
    panes: tuple[PlannedPaneLift, ...]
    access: AccessAnswer | None
    tilt: TiltAnswer | None


@dataclass(frozen=True, slots=True)
class JointBySealant(SmallestJoint):
    """What a class of sealant, its movement accommodation in percent, asks of a joint, and the
    temperatures of the frame, C, between which it may be applied in it; None where there are none
    or nobody asked."""

    sealant_class: float
    greatest: float
    governs: Governs
    verdict: Verdict
    seal_between: Temperatures | None


@dataclass(frozen=True, slots=True)
class PlannedJoint:
    """A joint that closes when the frame grows along `member_length`. `sealed_at`: the temperature
    of the frame, C, at which the classes hold; None where all of the movement was taken to come
    one way, whenever it is sealed."""

    joint: str
    member_length: int
    least_width: float
    sealed_at: float | None
    by_sealant_class: tuple[JointBySealant, ...]


@dataclass(frozen=True, slots=True)
class RunningGear:
    """What a carrier can do, mm and mm a turn, and what the gaps may differ by, with its source.

    `together_tolerance`: what both gaps together may be off twice the `leaf_gap`; None in plans
    from before that was judged. `season`: None where the chains grow too little to ask for it.
    """

    adjustment_range: float
    lift_per_turn: float
    tolerance: float
    source: str
    chains: tuple[Chain, ...]
    leaf_gap: float | None
    together_tolerance: float | None
    season: SeasonRules | None

    @property
    def grows_along(self) -> float:
        """mm of leaves that grow into the closing gap: two chains that meet share it."""
        return sum(chain.length for chain in self.chains)


@dataclass(frozen=True, slots=True)
class FittingPlan:
    """`fit_decision` is the id of the decision whose joints the packers are made up from, None
    where none was made; `substrates` by the name of the member; `kit` is None in plans from before
    it was counted."""

    fold: str
    frame: WholeSize
    head_fixing: HeadFixing
    fit_decision: str | None
    fixing_layout: FixingLayout
    substrates: dict[str, Substrate]
    lifts: LiftPlan
    joints: tuple[PlannedJoint, ...]
    glazing: GlazingPlan
    running_gear: RunningGear
    closing_junction: int
    junctions: tuple[Junction, ...]
    leaves: tuple[Leaf, ...]
    kit: Kit | None
    cautions: tuple[str, ...]
    rule_set: str
    rules_from_newer_sets: BorrowedRules = UNSET


OFF_PARTS = ("frame", "heaviest_sash")


def _with_all_lifts_and_sources(plan: Plain) -> Plain:
    """Format 1 may be from before sashes were weighed, when it held the frame alone, and from
    before the limit of the gaps was kept with its source, which its rule set names."""
    lifts = {"sashes_off": None, "sashes": [], **plan["lifts"]}
    lifts["frame"] = {"with_sashes": None, **lifts["frame"]}
    gear = {"source": sentence("rule set {name}", name=plan["rule_set"]), **plan["running_gear"]}
    leaves = [{"lifted_mass": leaf["mass"] - leaf["glass_mass"], **leaf} for leaf in plan["leaves"]]
    return plan | {"lifts": lifts, "running_gear": gear, "leaves": leaves}


def _judged_by_difference_alone(plan: Plain) -> Plain:
    """Format 2 is from before gaps were held to the leaf gap and closing gaps to the season."""
    gear = {**plan["running_gear"], "leaf_gap": None, "together_tolerance": None, "season": None}
    return plan | {"running_gear": gear}


def _with_room_for_holds(plan: Plain) -> Plain:
    """Format 3 is from before it was worked out where to hold what is lifted and how it gets in."""
    lifts, off = plan["lifts"], plan["lifts"]["sashes_off"]
    return plan | {
        "lifts": {
            **lifts,
            "frame": _unheld(lifts["frame"]),
            "sashes_off": off and {**off, **{part: _unheld(off[part]) for part in OFF_PARTS}},
            "sashes": [_unheld(lift) for lift in lifts["sashes"]],
            "panes": [_unheld(lift) for lift in lifts["panes"]],
            "access": None,
            "tilt": None,
        }
    }


def _unheld(lift: Plain) -> Plain:
    return {"held": None, **lift}


def _with_temperatures_of_sealing(plan: Plain) -> Plain:
    """Format 4 took all of the movement to come one way, whenever the joint is sealed."""
    unasked: Plain = {"seal_between": None}
    joints = [
        {"sealed_at": None}
        | joint
        | {
            "by_sealant_class": [unasked | by_class for by_class in joint["by_sealant_class"]],
        }
        for joint in plan["joints"]
    ]
    return plan | {"joints": joints}


def _without_kit(plan: Plain) -> Plain:
    """Format 5 did not count what a crew takes along."""
    return plan | {"kit": None}


def _supported_at_fixings_alone(plan: Plain) -> Plain:
    """Format 6 packed the sill at its fixings, and nowhere else because of what it carries."""
    layout = plan["fixing_layout"]
    members = [{**member, "support_positions": []} for member in layout["members"]]
    return plan | {"fixing_layout": {**layout, "members": members}}


FITTING_PLAN = FrozenKind(
    "plan of a fitting",
    FittingPlan,
    (
        _with_all_lifts_and_sources,
        _judged_by_difference_alone,
        _with_room_for_holds,
        _with_temperatures_of_sealing,
        _without_kit,
        _supported_at_fixings_alone,
    ),
)
