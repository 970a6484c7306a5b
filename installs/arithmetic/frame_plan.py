"""Where and how a frame is fixed: the four members, their fixings, and the packers beside each."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from installs.arithmetic.fixing_layout import lay_out_fixings
from installs.arithmetic.members import (
    FixingRules,
    Head,
    JointPoint,
    Member,
    MemberLayout,
    PlannedFixing,
    PlannedMember,
)
from installs.arithmetic.packers import PackerRules, PackerStack, make_up_packers
from installs.arithmetic.sill_supports import (
    SillLoad,
    SupportPosition,
    SupportRules,
    support_positions,
)
from jobs.arithmetic.errors import UnusableInput
from jobs.sentences import sentence


@dataclass(frozen=True, slots=True)
class CarryingSill:
    """What stands on a sill, and how it is supported under that."""

    loads: tuple[SillLoad, ...]
    rules: SupportRules


def plan_frame(
    width: float,
    height: float,
    *,
    head: Head,
    fixing_rules: FixingRules,
    joints: Mapping[str, Sequence[JointPoint]],
    packer_rules: PackerRules,
    carrying: CarryingSill,
) -> tuple[PlannedMember, ...]:
    """Fixings of all four sides of a frame of this size in mm, and the supports of its sill;
    `joints` by name of the member."""
    members = (
        Member("left", height),
        Member("right", height),
        head_member(width, head),
        Member("sill", width),
    )
    left, right, top, sill = (
        _planned(member, layout, head, joints.get(member.name, ()), packer_rules)
        for member, layout in zip(members, lay_out_fixings(members, fixing_rules), strict=True)
    )
    supports = _supports(sill, carrying, joints.get("sill", ()), packer_rules)
    return left, right, top, replace(sill, support_positions=supports)


def head_member(width: float, head: Head) -> Member:
    """The head with what its track leaves free.

    In the channel a fixing can only be reached under the removable length of the track; where its
    fixed ends may be screwed through, they take the fixings near the corners. A fixing stays clear
    of both joints of the track either way.
    """
    if head.fixing == "through_track":
        return Member("head", width)
    first, last = head.removable_track_end, width - head.removable_track_end
    clear = head.clear_of_track_joint
    if last - first <= 2 * clear:
        raise UnusableInput(
            "/frame/width",
            sentence(
                "{width:g} mm leaves no removable length of track to fix the head behind",
                width=width,
            ),
        )
    if not head.ends_through_track:
        reach = (first + clear, last - clear)
        end_zone = (reach[0], reach[0] + head.channel_end)
        return Member("head", width, reachable=(reach,), end_zone=end_zone)
    joints = ((first - clear, first + clear), (last - clear, last + clear))
    return Member("head", width, kept_out=joints)


def joint_width_at(position: float, joints: Sequence[JointPoint]) -> float | None:
    """Joint width in mm by straight lines between the points; None where there are none."""
    if not joints:
        return None
    ordered = sorted(joints, key=lambda point: point.at)
    return float(
        np.interp(position, [point.at for point in ordered], [point.width for point in ordered])
    )


def _planned(
    member: Member,
    layout: MemberLayout,
    head: Head,
    joints: Sequence[JointPoint],
    packer_rules: PackerRules,
) -> PlannedMember:
    return PlannedMember(
        name=member.name,
        length=member.length,
        kept_out=member.kept_out,
        reachable=member.reachable,
        positions=layout.positions,
        centres=layout.centres,
        count=layout.count,
        reason=layout.reason,
        note=layout.note,
        fixings=tuple(
            PlannedFixing(
                position=position,
                method=_method(member, position, head),
                packers=_packers(position, joints, packer_rules),
            )
            for position in layout.positions or ()
        ),
        support_positions=(),
    )


def _supports(
    sill: PlannedMember, carrying: CarryingSill, joints: Sequence[JointPoint], rules: PackerRules
) -> tuple[SupportPosition, ...]:
    laid = support_positions(sill.length, carrying.loads, sill.positions or (), carrying.rules)
    return tuple(
        replace(support, packers=_packers(support.position, joints, rules)) for support in laid
    )


def _method(member: Member, position: float, head: Head) -> str:
    if member.name != "head":
        return "countersunk_in_sill" if member.name == "sill" else "through_jamb"
    if head.fixing == "through_track":
        return "through_track"
    in_reach = head.removable_track_end < position < member.length - head.removable_track_end
    return "in_channel" if in_reach else "through_track"


def _packers(
    position: float, joints: Sequence[JointPoint], rules: PackerRules
) -> PackerStack | None:
    width = joint_width_at(position, joints)
    return None if width is None else make_up_packers(width, rules.thicknesses, rules.shortfall)
