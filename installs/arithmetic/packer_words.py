"""What an advice on packers says to the fitter: one act, as a sentence, with its cautions."""

from collections.abc import Sequence

from installs.arithmetic.packer_advice import AdvisedChange, PackerAct
from installs.member_labels import MEMBER_LABELS
from jobs.sentences import Sentence, sentence

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


def act_in_words(member: str, act: PackerAct) -> Sentence:
    """Such as `left jamb: +2 mm at 1950 mm, -2 mm at 750 mm, then read again`."""
    named = MEMBER_LABELS[member]
    match act.kind:
        case "leave":
            return sentence("{member}: leave the packers as they are", member=named)
        case "read_again":
            return sentence("{member}: change nothing yet, read it again", member=named)
        case "finer_instrument":
            return sentence(
                "{member}: change nothing; this instrument cannot show that it is within its "
                "limits, read it with a finer one",
                member=named,
            )
        case "no_packer_helps":
            return sentence(
                "{member}: no packer that can be reached brings it within its limits; look at its "
                "corners and at the member itself before you go on",
                member=named,
            )
    return _changes(named, act.changes)


def _changes(member: Sentence, changes: Sequence[AdvisedChange]) -> Sentence:
    first, *others = (
        sentence("{change:+g} mm at {at:g} mm", change=one.change, at=one.at) for one in changes
    )
    if not others:
        return sentence("{member}: {first}, then read again", member=member, first=first)
    if len(others) == 1:
        return sentence(
            "{member}: {first}, {second}, then read again",
            member=member,
            first=first,
            second=others[0],
        )
    return sentence(
        "{member}: {first}, {second}, {third}, then read again",
        member=member,
        first=first,
        second=others[0],
        third=others[1],
    )
