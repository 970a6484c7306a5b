"""What a frame member is, what its fixings keep to, and where they go."""

from dataclasses import dataclass
from typing import Literal

from installs.arithmetic.packers import PackerStack
from installs.arithmetic.sill_supports import SillLoad, SupportPosition
from jobs.sentences import sentence

HeadFixing = Literal["through_track", "in_channel"]
Stretch = tuple[float, float]
# Where the distances come from is said by the rule set that gives them.
SOURCES = (sentence("fewest, closest and most even fixings: common practice, no source"),)
CAUTIONS = (
    sentence("Look for hidden pipes and cables before drilling; wear eye protection."),
    sentence("The fixing's own assessment decides its edge distance, depth and load in this wall."),
)
MASONRY = ("brick", "block", "concrete")
SILICA_DUST = sentence(
    "Drilling brick, block or concrete makes silica dust, which scars lungs for good: extraction "
    "of class M at the drill, a mask of class FFP3 that fits its wearer, and never a dry brush "
    "(COSHH Regulations 2002; HSE Construction Information Sheet 36)."
)


def makes_silica_dust(substrate: str | None) -> bool:
    """Of what a member is fixed into; a wall that nobody has named may be masonry."""
    return substrate is None or substrate in MASONRY


@dataclass(frozen=True, slots=True)
class Member:
    """A side of the frame: stretches in mm from its left or foot end.

    `kept_out` is where no fixing may sit; `reachable` where one can be put at all (everywhere when
    None). A reachable stretch that ends before it starts is empty: a narrow head has no removable
    length of track. `end_zone`: between which distances from its ends the first and last fixing
    sit, where that is not the rules' own.
    """

    name: str
    length: float
    kept_out: tuple[Stretch, ...] = ()
    reachable: tuple[Stretch, ...] | None = None
    end_zone: Stretch | None = None


@dataclass(frozen=True, slots=True)
class FixingRules:
    """Distances in mm; no two fixings stand nearer to each other than `least_apart`.

    A member with less than that between its end zones is short: up to `one_fixing_up_to` it gets
    one fixing near its middle, beyond it two, as far apart as the end zones allow, or still one
    where these leave too little between the two.
    """

    end_min: float
    end_max: float
    max_centres: float
    min_fixings: int
    clear_of: float
    one_fixing_up_to: float
    least_apart: float


@dataclass(frozen=True, slots=True)
class MemberLayout:
    """`positions` is None, with a `reason`, where the rules leave no layout."""

    name: str
    length: float
    positions: tuple[int, ...] | None
    centres: tuple[int, ...]
    count: int
    reason: str | None
    note: str | None


@dataclass(frozen=True, slots=True)
class Head:
    """How the head is fixed; mm. The removable length of the track starts `removable_track_end`
    from each end. `ends_through_track`: its fixed ends may be screwed through; where they may not,
    the first fixing sits within `channel_end` of where the channel can be reached."""

    fixing: HeadFixing
    removable_track_end: float
    ends_through_track: bool
    clear_of_track_joint: float
    channel_end: float


@dataclass(frozen=True, slots=True)
class JointPoint:
    """Width of the joint beside a member, `at` mm from its left or foot end."""

    at: float
    width: float


@dataclass(frozen=True, slots=True)
class PlannedFixing:
    """`packers` is None where the joint has not been measured."""

    position: int
    method: str
    packers: PackerStack | None


@dataclass(frozen=True, slots=True)
class PlannedMember:
    """A member's layout; `positions` is None, with a `reason`, where the rules leave none.

    `support_positions`: where a sill carries load, be it at a fixing or not; nowhere else a member
    does, and in plans from before that was worked out nothing is said of it.
    """

    name: str
    length: float
    kept_out: tuple[Stretch, ...]
    reachable: tuple[Stretch, ...] | None
    positions: tuple[int, ...] | None
    centres: tuple[int, ...]
    count: int
    reason: str | None
    note: str | None
    fixings: tuple[PlannedFixing, ...]
    support_positions: tuple[SupportPosition, ...]

    @property
    def supports_without_fixing(self) -> tuple[SupportPosition, ...]:
        return tuple(support for support in self.support_positions if not support.at_fixing)

    @property
    def packed(self) -> tuple[PlannedFixing | SupportPosition, ...]:
        """Every place with packers, fixed there or not, from the left or foot end."""
        places: list[PlannedFixing | SupportPosition] = [*self.fixings]
        places += self.supports_without_fixing
        return tuple(sorted(places, key=lambda place: place.position))

    @property
    def packed_positions(self) -> tuple[int, ...]:
        """Where it is packed, mm from its left or foot end, ascending."""
        return tuple(place.position for place in self.packed)

    def carried_at(self, position: int) -> tuple[SillLoad, ...]:
        """What stands on the packers there; nothing where they only level the member."""
        supports = (support for support in self.support_positions if support.position == position)
        return tuple(load for support in supports for load in support.carries)

    def stack_at(self, position: float) -> PackerStack | None:
        """The packers planned there; None where none are, or the joint has not been measured."""
        return next((place.packers for place in self.packed if place.position == position), None)
