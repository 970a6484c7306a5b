"""Where a frame stands in an opening, and the joint that is left all round it; mm."""

from dataclasses import dataclass
from typing import Literal

import numpy as np

from surveys.arithmetic.adjustment import SHAPE_COUNT, Numbers, jamb_rows, level_rows
from surveys.arithmetic.clear_size import shares, size_of

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


def place(shape: Numbers, frame: Frame, clearance: Clearance) -> Placement:
    """Spare width is shared equally; the frame stands at the sill clearance above the highest
    point of the sill, and the rest of the height is at the head."""
    width, height = size_of(shape)
    along = shares((width - frame.width) / 2, (width + frame.width) / 2, width)
    bottom = float((level_rows(along, head=False)[:, :SHAPE_COUNT] @ shape).max()) + clearance.sill
    up = shares(bottom, bottom + frame.height, height)
    left = float((jamb_rows(up, right=False)[:, :SHAPE_COUNT] @ shape).max())
    right = float((jamb_rows(up, right=True)[:, :SHAPE_COUNT] @ shape).min())
    spare = right - left - frame.width - clearance.left - clearance.right
    return Placement(left + clearance.left + spare / 2, bottom)


def joint_profile(shape: Numbers, frame: Frame, placement: Placement) -> tuple[JointWidth, ...]:
    """Joints at both ends of each member and beside the middle of its side of the opening."""
    width, height = size_of(shape)
    up = shares(placement.y, placement.y + frame.height, height)
    along = shares(placement.x, placement.x + frame.width, width)
    up_frame, along_frame = up * height - placement.y, along * width - placement.x
    right_edge, top_edge = placement.x + frame.width, placement.y + frame.height
    sides: list[tuple[MemberName, Numbers, Numbers]] = [
        ("left", up_frame, placement.x - _positions(shape, jamb_rows(up, right=False))),
        ("right", up_frame, _positions(shape, jamb_rows(up, right=True)) - right_edge),
        ("head", along_frame, _positions(shape, level_rows(along, head=True)) - top_edge),
        ("sill", along_frame, placement.y - _positions(shape, level_rows(along, head=False))),
    ]
    return tuple(
        JointWidth(member, float(at), float(joint))
        for member, places, joints in sides
        for at, joint in zip(places, joints, strict=True)
    )


def joint_ranges(profile: tuple[JointWidth, ...]) -> dict[str, JointRange]:
    """Least and greatest joint of each member."""
    ranges = {}
    for member in ("left", "right", "head", "sill"):
        widths = [joint.width for joint in profile if joint.member == member]
        ranges[member] = JointRange(min(widths), max(widths))
    return ranges


def joint_at(profile: tuple[JointWidth, ...], member: str, at: float) -> float:
    """Joint at any place of a member, straight between the places of the profile."""
    places = [joint for joint in profile if joint.member == member]
    return float(np.interp(at, [j.at for j in places], [j.width for j in places]))


def _positions(shape: Numbers, rows: Numbers) -> Numbers:
    return rows[:, :SHAPE_COUNT] @ shape
