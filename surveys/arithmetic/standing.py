"""How a frame stands in an opening, plumb and level, and the joint left all round it; mm."""

from collections.abc import Callable, Iterator

from surveys.arithmetic.placement import (
    Clearance,
    Frame,
    JointRange,
    JointWidth,
    MemberName,
    Placement,
)
from surveys.arithmetic.profiles import Profile, Profiles


def place(profiles: Profiles, frame: Frame, clearance: Clearance) -> Placement:
    """Spare width is shared equally; the frame stands at the sill clearance above the highest
    point of the sill, and the rest of the height is at the head."""
    middle = (profiles.width - frame.width) / 2
    bottom = profiles.sill.highest(middle, middle + frame.width) + clearance.sill
    left = profiles.left.highest(bottom, bottom + frame.height)
    right = profiles.right.lowest(bottom, bottom + frame.height)
    spare = right - left - frame.width - clearance.left - clearance.right
    return Placement(left + clearance.left + spare / 2, bottom)


def joint_profile(profiles: Profiles, frame: Frame, placement: Placement) -> tuple[JointWidth, ...]:
    """Joints at both ends of each member, beside the middle of its side, and where it is least."""
    return tuple(
        JointWidth(member, at, width)
        for member, joints in _joints(profiles, frame, placement)
        for at, width in _told(joints)
    )


def joint_ranges(profiles: Profiles, frame: Frame, placement: Placement) -> dict[str, JointRange]:
    """Least and greatest joint of each member, over its whole length."""
    return {
        member: JointRange(min(w for _, w in joints), max(w for _, w in joints))
        for member, joints in _joints(profiles, frame, placement)
    }


def _joints(
    profiles: Profiles, frame: Frame, placement: Placement
) -> Iterator[tuple[MemberName, list[tuple[float, float]]]]:
    """Place along each member, from its left or foot end, and width of the joint there."""
    right, top = placement.x + frame.width, placement.y + frame.height
    up, along = (placement.y, top), (placement.x, right)

    def of(
        profile: Profile, stretch: tuple[float, float], joint: Callable[[float], float]
    ) -> list[tuple[float, float]]:
        return [(at - stretch[0], joint(value)) for at, value in profile.between(*stretch)]

    yield "left", of(profiles.left, up, lambda x: placement.x - x)
    yield "right", of(profiles.right, up, lambda x: x - right)
    yield "head", of(profiles.head, along, lambda y: y - top)
    yield "sill", of(profiles.sill, along, lambda y: placement.y - y)


def _told(joints: list[tuple[float, float]]) -> list[tuple[float, float]]:
    ends = (joints[0], joints[len(joints) // 2], joints[-1])
    least = min(joints, key=lambda joint: joint[1])
    return sorted({*ends, least})
