"""Where a frame stands in an opening, and the joint that is left all round it; mm."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from surveys.arithmetic.outline import jamb_x, level_y, shares, size_of

MemberName = Literal["left", "right", "head", "sill"]


@dataclass(frozen=True, slots=True)
class Frame:
    width: float
    height: float


@dataclass(frozen=True, slots=True)
class Clearance:
    """Least joint on each side."""

    left: float
    right: float
    head: float
    sill: float


@dataclass(frozen=True, slots=True)
class Placement:
    """The frame's bottom left corner."""

    x: float
    y: float


@dataclass(frozen=True, slots=True)
class JointRange:
    min: float
    max: float


@dataclass(frozen=True, slots=True)
class JointWidth:
    """Joint at a place of a member; `at` counts from the member's left or foot end."""

    member: MemberName
    at: float
    width: float


def place(shape: Sequence[float], frame: Frame, clearance: Clearance) -> Placement:
    """Spare width is shared equally; the frame stands at the sill clearance above the highest
    point of the sill, and the rest of the height is at the head."""
    width, height = size_of(shape)
    along = shares((width - frame.width) / 2, (width + frame.width) / 2, width)
    bottom = max(level_y(shape, t, head=False) for t in along) + clearance.sill
    up = shares(bottom, bottom + frame.height, height)
    left = max(jamb_x(shape, t, right=False) for t in up)
    right = min(jamb_x(shape, t, right=True) for t in up)
    spare = right - left - frame.width - clearance.left - clearance.right
    return Placement(left + clearance.left + spare / 2, bottom)


def joint_profile(
    shape: Sequence[float], frame: Frame, placement: Placement
) -> tuple[JointWidth, ...]:
    """Joints at both ends of each member and beside the middle of its side of the opening."""
    width, height = size_of(shape)
    up = shares(placement.y, placement.y + frame.height, height)
    along = shares(placement.x, placement.x + frame.width, width)
    right_edge, top_edge = placement.x + frame.width, placement.y + frame.height
    return (
        *(
            _joint("left", t * height - placement.y, placement.x - jamb_x(shape, t, False))
            for t in up
        ),
        *(
            _joint("right", t * height - placement.y, jamb_x(shape, t, True) - right_edge)
            for t in up
        ),
        *(
            _joint("head", t * width - placement.x, level_y(shape, t, True) - top_edge)
            for t in along
        ),
        *(
            _joint("sill", t * width - placement.x, placement.y - level_y(shape, t, False))
            for t in along
        ),
    )


def _joint(member: MemberName, at: float, width: float) -> JointWidth:
    return JointWidth(member, float(at), float(width))


def joint_ranges(profile: tuple[JointWidth, ...]) -> dict[str, JointRange]:
    """Least and greatest joint of each member."""
    ranges = {}
    for member in ("left", "right", "head", "sill"):
        widths = [joint.width for joint in profile if joint.member == member]
        ranges[member] = JointRange(min(widths), max(widths))
    return ranges
