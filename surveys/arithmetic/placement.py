"""Where a frame stands in an opening, and the joint that is left all round it; mm."""

from dataclasses import dataclass
from typing import Literal

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
