"""What a fitter should know of a decision beside its numbers, as sentences."""

from collections.abc import Iterator

from jobs.sentences import StoredSentence, sentence
from surveys.arithmetic.agreement import Agreement
from surveys.arithmetic.answers import ReadNext, Shape, Verdict
from surveys.arithmetic.placement import JointWidth
from surveys.arithmetic.readings import Measurement, Priors

CONTRADICTION = StoredSentence("The readings contradict each other; read again: {readings}.")
SETTLING_READING = StoredSentence("One reading would settle it best: {reading}.")
UNUSUAL = StoredSentence(
    "The readings agree that this opening lacks what is usual ({lacking}); look again."
)
WIDE_JOINT = StoredSentence(
    "The joint at the {member} is {width:.1f} mm at {at:.0f} mm; at most {maximum:g} mm is allowed."
)
MIRRORED = sentence(
    "Neither jamb was plumbed, so the two diagonals could be swapped and no reading would show it: "
    "the opening would lean the other way. Plumb one jamb."
)
# A tilt of so many usual deviations is worth a second look.
UNUSUAL_DEVIATIONS = 3.0
# Diagonals that differ by less are no matter if they are swapped, mm.
ALIKE_DIAGONALS = 3.0
READING_WORDS = {
    "splay left": sentence("splay of the left jamb"),
    "splay right": sentence("splay of the right jamb"),
    "splay head": sentence("splay of the head"),
    "splay sill": sentence("splay of the sill"),
    "splay all": sentence("splay of the reveal on all sides, with a square"),
    "straightedge left": sentence("straightedge along the left jamb"),
    "straightedge right": sentence("straightedge along the right jamb"),
    "straightedge head": sentence("straightedge along the head"),
    "straightedge sill": sentence("straightedge along the sill"),
    "plumb left": sentence("plumb of the left jamb, foot, middle and top"),
    "plumb right": sentence("plumb of the right jamb, foot, middle and top"),
    "level sill": sentence("levels of the sill, left, middle and right"),
    "level head": sentence("levels of the head, left, middle and right"),
}
WIDTH_AT = StoredSentence("width at {at:.0f} mm above the sill")
HEIGHT_AT = StoredSentence("height at {at:.0f} mm from the left jamb")


def verdict_warnings(
    verdict: Verdict, agreed: Agreement, read_next: tuple[ReadNext, ...]
) -> Iterator[str]:
    if agreed.contradictory:
        yield CONTRADICTION(readings=", ".join(one.reading for one in agreed.suspects))
    elif verdict == "inconclusive" and read_next:
        yield SETTLING_READING(reading=reading_in_words(read_next[0]))


def shape_warnings(shape: Shape, priors: Priors) -> Iterator[str]:
    """Not an error of reading, but worth a look before a frame is ordered for it."""
    tilts = (
        (shape.sill_fall, priors.levelness, sentence("level sill")),
        (shape.head_fall, priors.levelness, sentence("level head")),
        (shape.left_lean, priors.plumbness, sentence("plumb left jamb")),
        (shape.right_lean, priors.plumbness, sentence("plumb right jamb")),
    )
    lacking = [name for tilt, usual, name in tilts if abs(tilt) > UNUSUAL_DEVIATIONS * usual]
    if lacking:
        yield UNUSUAL(lacking=", ".join(lacking))


def mirror_warnings(measurement: Measurement) -> Iterator[str]:
    opening = measurement.opening
    apart = abs(opening.diagonals.rising - opening.diagonals.falling)
    if not (opening.plumb.left or opening.plumb.right) and apart > ALIKE_DIAGONALS:
        yield MIRRORED


def joint_warnings(profile: tuple[JointWidth, ...], maximum: float) -> Iterator[str]:
    """One warning for each member, at its widest place."""
    for member in ("left", "right", "head", "sill"):
        widest = max((j for j in profile if j.member == member), key=lambda j: j.width)
        if widest.width > maximum:
            yield WIDE_JOINT(member=member, width=widest.width, at=widest.at, maximum=maximum)


def reading_in_words(reading: ReadNext) -> str:
    if reading.kind == "width":
        return WIDTH_AT(at=reading.at)
    if reading.kind == "height":
        return HEIGHT_AT(at=reading.at)
    return READING_WORDS[f"{reading.kind} {reading.side}"]
