"""A frame that fits and can also be sealed: where the joint is beyond the greatest allowed, what
the choices are, and what each does to the numbers; mm.

How wide a joint with a backing and a two-stage seal may be is for the data sheets of both.
"""

from collections.abc import Iterator

from jobs.sentences import StoredSentence
from surveys.arithmetic.answers import JointChoice, WideJoint
from surveys.arithmetic.placement import Clearance, JointRange, MemberName

# A backing strip is a quarter wider than the joint, and the sealant half as deep as it is wide:
# common practice, no source.
BACKING_RATIO, DEPTH_RATIO = 1.25, 0.5
MAKE_GOOD = StoredSentence(
    "Make the opening good: up to {thickness:.1f} mm on this side of the wall leave a joint of "
    "{greatest:.1f} mm at most."
)
ADD_ON = StoredSentence(
    "A frame that is {thickness:.1f} mm larger here, by another section or an add-on profile, "
    "leaves a joint of {least:.1f} to {greatest:.1f} mm."
)
DEEPER = StoredSentence(
    "A sealant whose data sheet allows {greatest:.1f} mm, {depth:.1f} mm deep, on a backing strip "
    "of {backing:.1f} mm."
)
TWO_STAGE = StoredSentence(
    "A two-stage seal: a precompressed strip that takes {least:.1f} to {greatest:.1f} mm outside, "
    "and an airtight seal inside."
)


def wide_joints(
    joints: dict[str, JointRange], clearance: Clearance, maximum: float
) -> tuple[WideJoint, ...]:
    """Of the sides whose joint is beyond the greatest allowed; a sill is bedded, not sealed so."""
    members: tuple[MemberName, ...] = ("left", "right", "head")
    return tuple(
        WideJoint(member, joint.min, joint.max, maximum, tuple(_choices(joint, least, maximum)))
        for member in members
        for joint, least in ((joints[member], getattr(clearance, member)),)
        if joint.max > maximum
    )


def _choices(joint: JointRange, clearance: float, maximum: float) -> Iterator[JointChoice]:
    thickness = joint.max - maximum
    yield JointChoice(
        "make_good",
        MAKE_GOOD(thickness=thickness, greatest=maximum),
        thickness,
        min(joint.min, maximum),
        maximum,
    )
    larger = joint.min - clearance
    if larger > 0:
        least, greatest = clearance, joint.max - larger
        what = ADD_ON(thickness=larger, least=least, greatest=greatest)
        yield JointChoice("larger_frame", what, larger, least, greatest)
    what = DEEPER(
        greatest=joint.max, depth=DEPTH_RATIO * joint.max, backing=BACKING_RATIO * joint.max
    )
    yield JointChoice("deeper_joint", what, BACKING_RATIO * joint.max, joint.min, joint.max)
    what = TWO_STAGE(least=joint.min, greatest=joint.max)
    yield JointChoice("two_stage_seal", what, joint.max, joint.min, joint.max)
