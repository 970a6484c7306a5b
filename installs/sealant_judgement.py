"""The one judgement of a sealant: which of its classes take the movement of the joints as measured.

The frozen plan holds what each class asks of each joint (`installs.arithmetic.joint_movement`). The
step that seals, its page, the gates, the fitting pack and the certificate all ask here. Pure.
"""

from collections.abc import Iterator, Mapping, Sequence
from math import ceil, floor

from installs.arithmetic.joint_movement import Temperatures
from installs.frozen import JointBySealant, PlannedJoint
from installs.member_labels import MEMBER_LABELS
from jobs.sentences import Sentence, StoredSentence, sentence

NO_CLASS_DOES = sentence(
    "No class is enough at every joint: agree with the office how the joint is closed before "
    "anything is sealed."
)
TOO_NARROW = StoredSentence(
    "the joint at the {member} is {width:.1f} mm at its narrowest; a sealant of class "
    "{sealant_class:g} asks for {least:.1f} mm"
)
TOO_WIDE = StoredSentence(
    "the joint at the {member} is {width:.1f} mm at its narrowest, and {greatest:g} mm is the "
    "greatest by the guidance: agree with the office how it is closed"
)
WRONG_TEMPERATURE = StoredSentence(
    "the joint at the {member} was sealed at {surface:g} C; a sealant of class {sealant_class:g} "
    "takes its movement only where it is applied at {lowest} to {highest} C of the frame"
)


def classes_that_do(joints: Sequence[PlannedJoint]) -> tuple[float, ...]:
    """Classes that are enough at every joint, the lowest first; none where nothing was measured."""
    known = [answer.sealant_class for answer in joints[0].by_sealant_class] if joints else []
    return tuple(grade for grade in known if not joints_short_of(joints, grade))


def joints_short_of(
    joints: Sequence[PlannedJoint], sealant_class: float, surface: float | None = None
) -> dict[str, Sentence]:
    """Why this class is not enough, by the place that says so: `joint_left`, for example.

    `surface`: C, of the faces of the joint while it was sealed; None where it was not read.
    """
    return {
        f"joint_{joint.joint}": why
        for joint in joints
        for answer in joint.by_sealant_class
        if answer.sealant_class == sealant_class
        for why in _short(joint, answer, surface)
    }


def seal_between(between: Temperatures | None) -> tuple[int, int] | None:
    """Whole degrees C, rounded so that both may be used; None where nobody asked, or where not even
    a degree is left."""
    if between is None or ceil(between.lowest) > floor(between.highest):
        return None
    return ceil(between.lowest), floor(between.highest)


def _short(
    joint: PlannedJoint, answer: JointBySealant, surface: float | None
) -> Iterator[Sentence]:
    said: Mapping[str, object] = {
        "member": MEMBER_LABELS[joint.joint],
        "width": joint.least_width,
        "sealant_class": answer.sealant_class,
    }
    between = answer.seal_between
    if answer.verdict == "too_narrow":
        yield TOO_NARROW(least=max(answer.by_movement, answer.by_guidance), **said)
    elif answer.verdict == "too_wide":
        yield TOO_WIDE(greatest=answer.greatest, **said)
    elif surface is not None and between and not between.lowest <= surface <= between.highest:
        lowest, highest = ceil(between.lowest), floor(between.highest)
        yield WRONG_TEMPERATURE(surface=surface, lowest=lowest, highest=highest, **said)
