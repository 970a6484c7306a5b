"""What is asked about a packed member of a frame: where it is packed, what was read of it, which
packers were changed meanwhile, and what it is held to. Lengths in mm."""

from dataclasses import dataclass
from typing import Literal

from jobs.arithmetic.errors import UnusableInput
from jobs.sentences import sentence

MemberName = Literal["left", "right", "head", "sill"]
ReadingKind = Literal["plumb", "level", "bow", "diagonal"]
JAMBS: tuple[MemberName, ...] = ("left", "right")
ALONG_THE_MEMBER: tuple[ReadingKind, ...] = ("level", "bow")
QUARTERS = (0.25, 0.5, 0.75)
ALONG = (0.0, *QUARTERS, 1.0)


@dataclass(frozen=True, slots=True)
class PackedFixing:
    """A place where the member is or will be packed, `at` from its left or foot end.

    `packers` are the pieces there now, None where that is not known. `packed`: they are tight
    already, and hold the member; elsewhere it follows the places that are. `reachable`: its packers
    can be changed.
    """

    at: float
    packers: tuple[float, ...] | None
    packed: bool = True
    reachable: bool = True


@dataclass(frozen=True, slots=True)
class FrameReading:
    """One reading. `plumb`: how much further the head of a jamb stands into the opening than its
    foot; `level`: height at a place of head or sill, above any one datum; `bow`: how far the member
    stands into the opening beyond the straight line through its ends; `diagonal`: the rising
    diagonal (bottom left to top right, seen from outside) less the falling one.

    `at` belongs to level and bow. `changes_before`: how many of the changes had been made by then.
    """

    kind: ReadingKind
    value: float
    expanded_uncertainty: float
    changes_before: int
    at: float | None = None


@dataclass(frozen=True, slots=True)
class PackersChange:
    """Packers added (positive) or taken out beside a fixing, mm. `slack`: standard deviation of
    what the member does not follow of it. `fixes`: from here on that place holds the member."""

    at: float
    change: float
    slack: float
    fixes: bool = False


@dataclass(frozen=True, slots=True)
class FrameSize:
    """`sill_rise`: how much higher the right end of the sill stands than its left end."""

    width: float
    height: float
    sill_rise: float = 0.0


@dataclass(frozen=True, slots=True)
class MemberLimits:
    """Greatest deviation either way; of levels the greatest less the least."""

    plumb: float
    level: float
    bow: float
    diagonal: float


@dataclass(frozen=True, slots=True)
class PackedMember:
    """`frame` is needed for diagonals only. `judged`: kinds that it is now held to, all that were
    read where there are none; what is advised keeps to the other limits as well."""

    name: MemberName
    length: float
    fixings: tuple[PackedFixing, ...]
    readings: tuple[FrameReading, ...]
    changes: tuple[PackersChange, ...]
    limits: MemberLimits
    frame: FrameSize | None = None
    judged: tuple[ReadingKind, ...] = ()

    @property
    def is_jamb(self) -> bool:
        return self.name in JAMBS


def check_member(member: PackedMember) -> None:
    """Raises `UnusableInput` for fixings out of order or beyond the member, and for readings and
    changes that cannot be of it."""
    _check_fixings(member)
    for index, reading in enumerate(member.readings):
        _check_reading(member, reading, f"/readings/{index}")
    places = [fixing.at for fixing in member.fixings]
    for index, change in enumerate(member.changes):
        if change.at not in places:
            known = ", ".join(f"{place:g}" for place in places)
            raise UnusableInput(
                f"/changes/{index}/at",
                sentence("no fixing sits there; give one of these: {places} mm", places=known),
            )


def _check_fixings(member: PackedMember) -> None:
    last = 0.0
    for index, fixing in enumerate(member.fixings):
        if not last < fixing.at < member.length:
            raise UnusableInput(
                f"/fixings/{index}/at",
                sentence(
                    "fixings go from one end to the other: give more than {least:g} and less than "
                    "{most:g} mm",
                    least=last,
                    most=member.length,
                ),
            )
        last = fixing.at
    if sum(fixing.packed for fixing in member.fixings) < 2:  # noqa: PLR2004 a line has two points
        raise UnusableInput("/fixings", sentence("give at least two places that are packed"))


def _check_reading(member: PackedMember, reading: FrameReading, pointer: str) -> None:
    allowed = _kinds_of(member)
    if reading.kind not in allowed:
        raise UnusableInput(
            f"{pointer}/kind",
            sentence("of this member one of these is read: {kinds}", kinds=", ".join(allowed)),
        )
    if reading.kind == "diagonal" and member.frame is None:
        raise UnusableInput("/frame", sentence("diagonals need the width and height of the frame"))
    needs_place = reading.kind in ALONG_THE_MEMBER
    if needs_place and (reading.at is None or not 0 <= reading.at <= member.length):
        raise UnusableInput(
            f"{pointer}/at", sentence("give 0 to {length:g} mm", length=member.length)
        )
    if not needs_place and reading.at is not None:
        raise UnusableInput(f"{pointer}/at", sentence("it is read over the whole member"))
    if not 0 <= reading.changes_before <= len(member.changes):
        raise UnusableInput(
            f"{pointer}/changes_before", sentence("give 0 to {most}", most=len(member.changes))
        )


def _kinds_of(member: PackedMember) -> tuple[ReadingKind, ...]:
    return ("plumb", "bow", "diagonal") if member.is_jamb else ("level", "bow")
