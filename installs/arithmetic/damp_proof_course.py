"""A frame that stands on a damp-proof course laid after its opening was measured; mm."""

from collections.abc import Mapping, Sequence
from dataclasses import replace

from installs.arithmetic.members import JointPoint

Joints = Mapping[str, Sequence[JointPoint]]


def stood_on(thickness: float, joints: Joints) -> dict[str, list[JointPoint]]:
    """Joints by the name of their member, with what lies under the sill taken off them.

    It fills as much of the joint at the sill. Where that is less at its least, the frame is raised
    by the difference, and the joint at the head closes by it.
    """
    least = min((point.width for point in joints.get("sill", ())), default=thickness)
    raised = max(0.0, thickness - least)
    change = {"sill": raised - thickness, "head": -raised}
    return {
        member: [replace(point, width=point.width + change.get(member, 0.0)) for point in points]
        for member, points in joints.items()
    }
