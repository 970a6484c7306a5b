"""What an advice on packers says to the fitter: one act, as a sentence, with its cautions."""

from installs.arithmetic.packer_answers import ActKind, PackerAct
from installs.member_labels import MEMBER_LABELS
from jobs.sentences import Sentence, StoredSentence, sentence

SOURCES = (
    sentence(
        "member as a slender beam over its packers (natural cubic spline); linear Gaussian belief "
        "over all readings and changes, half of the variance of a reading shared by all of its "
        "instrument: common practice, no source"
    ),
)
CAUTIONS = (
    sentence(
        "Have the frame held before you loosen a fixing, loosen only the one beside the packer, "
        "and keep fingers out of the joint."
    ),
    sentence(
        "Where the member across is tight on its packers, ease it by as much at the same height; "
        "force nothing. Packers that carry the frame stay under it."
    ),
    sentence(
        "Calculated from the readings and changes on record: read again after each act before you "
        "go on."
    ),
)
# For a sill that lies on packers without a fixing, besides.
PACKERS_THAT_FOLLOW = sentence(
    "Packers without a fixing follow the sill: after each change make them up again, from one end "
    "to the other, until each is tight under it and lifts nothing, and read only then."
)


STEP = StoredSentence("{change:+g} mm at {at:g} mm")
# The longest first: a shorter one reads a longer one's text as well.
THREE_STEPS = StoredSentence("{member}: {first}, {second}, {third}, then read again")
TWO_STEPS = StoredSentence("{member}: {first}, {second}, then read again")
ONE_STEP = StoredSentence("{member}: {first}, then read again")
WITHOUT_A_CHANGE: dict[ActKind, StoredSentence] = {
    "leave": StoredSentence("{member}: leave the packers as they are"),
    "read_again": StoredSentence("{member}: change nothing yet, read it again"),
    "finer_instrument": StoredSentence(
        "{member}: change nothing; this instrument cannot show that it is within its limits, read "
        "it with a finer one"
    ),
    "no_packer_helps": StoredSentence(
        "{member}: no packer that can be reached brings it within its limits; look at its corners "
        "and at the member itself before you go on"
    ),
}


def act_in_words(member: str, act: PackerAct) -> Sentence:
    """Such as `left jamb: +2 mm at 1950 mm, -2 mm at 750 mm, then read again`."""
    named = MEMBER_LABELS[member]
    if act.kind != "change_packers":
        return WITHOUT_A_CHANGE[act.kind](member=named)
    first, *others = (STEP(change=one.change, at=one.at) for one in act.changes)
    match others:
        case []:
            return ONE_STEP(member=named, first=first)
        case [second]:
            return TWO_STEPS(member=named, first=first, second=second)
        case [second, third, *_]:
            return THREE_STEPS(member=named, first=first, second=second, third=third)
    raise AssertionError(others)
