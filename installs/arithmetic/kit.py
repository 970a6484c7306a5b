"""What a crew takes along to fix a frame: screws by length, packers by thickness; mm.

A screw passes the frame's profile and the packers beside it, and is held in the wall by its
embedment. The assessment of the anchor that is used goes before every figure here.
"""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from installs.arithmetic.members import PlannedFixing, PlannedMember


@dataclass(frozen=True, slots=True)
class Hold:
    """How a screw is held in one kind of wall: how deep, and how far from its edge at least."""

    embedment: float
    edge_distance: float


@dataclass(frozen=True, slots=True)
class KitRules:
    """`lengths` that screws are sold in; `holds` by the kind of wall."""

    lengths: tuple[float, ...]
    holds: Mapping[str, Hold]


@dataclass(frozen=True, slots=True)
class MemberScrews:
    """Screws of one length for one member. `length` is None where none that is sold is as long as
    the `least` that is asked for; with `joint_measured` False the packers are not in it."""

    member: str
    substrate: str
    least: float
    length: float | None
    count: int
    embedment: float
    edge_distance: float
    joint_measured: bool


@dataclass(frozen=True, slots=True)
class PackerCount:
    thickness: float
    count: int


@dataclass(frozen=True, slots=True)
class Kit:
    """`sealant_run`: the length of the joint round the frame, once; both faces are twice that."""

    screws: tuple[MemberScrews, ...]
    packers: tuple[PackerCount, ...]
    blocks: int
    sealant_run: float
    sources: tuple[str, ...]


def screws_of(
    member: PlannedMember, substrate: str, through: float, rules: KitRules
) -> tuple[MemberScrews, ...]:
    """Shortest first; none for a kind of wall that no rule knows. `through`: mm of profile."""
    hold = rules.holds.get(substrate)
    if hold is None:
        return ()
    asked = Counter(
        (through + _packed(fixing) + hold.embedment, fixing.packers is not None)
        for fixing in member.fixings
    )
    by_length: dict[tuple[float | None, bool], list[tuple[float, int]]] = {}
    for (least, measured), count in sorted(asked.items()):
        length = next((sold for sold in sorted(rules.lengths) if sold >= least), None)
        by_length.setdefault((length, measured), []).append((least, count))
    return tuple(
        MemberScrews(
            member=member.name,
            substrate=substrate,
            least=max(least for least, _count in group),
            length=length,
            count=sum(count for _least, count in group),
            embedment=hold.embedment,
            edge_distance=hold.edge_distance,
            joint_measured=measured,
        )
        for (length, measured), group in by_length.items()
    )


def screws_at(member: PlannedMember, screws: Sequence[MemberScrews]) -> dict[int, MemberScrews]:
    """Which of the `screws` of a kit goes where on a member, by the place of the fixing: the
    shortest where the fewest packers are. A place that the kit does not count has none."""
    own = sorted((s for s in screws if s.member == member.name), key=lambda s: s.least)
    at_place: dict[int, MemberScrews] = {}
    for measured in (True, False):
        fixings = [f for f in member.fixings if (f.packers is not None) == measured]
        each = [s for s in own if s.joint_measured == measured for _ in range(s.count)]
        pairs = zip(sorted(fixings, key=_packed), each, strict=False)
        at_place |= {fixing.position: screw for fixing, screw in pairs}
    return at_place


def packers_of(members: Sequence[PlannedMember]) -> tuple[PackerCount, ...]:
    """How many of each thickness, the thickest first, at fixings and under what a sill carries."""
    pieces = Counter(
        piece
        for member in members
        for packed in member.packed
        if packed.packers
        for piece in packed.packers.pieces
    )
    return tuple(PackerCount(mm, count) for mm, count in sorted(pieces.items(), reverse=True))


def _packed(fixing: PlannedFixing) -> float:
    return fixing.packers.thickness if fixing.packers else 0.0
