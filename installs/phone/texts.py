"""The words of what a phone answers by itself: outcomes, states of parts, what is in the way."""

from django.utils.translation import gettext as _


def texts_of_sheet() -> dict[str, str]:
    return _of_outcomes() | _of_parts() | _of_blockers()


def _of_outcomes() -> dict[str, str]:
    """What came of an entry, beside its form."""
    return {
        "outcome_pass": _("In order"),
        "outcome_fail": _("Not in order"),
        "outcome_inconclusive": _("Not decided"),
        "outcome_noted": _("Saved on this phone"),
        "outcome_saved": _("Saved"),
        "judgedBeyond": _("{label} {value} {unit}; allowed is {allowed}"),
        "judgedTooNear": _(
            "{label} {value} {unit}; allowed is {allowed}: too near that for this instrument"
        ),
        "gapsJudged": _(
            "Head {head} mm, sill {sill} mm; allowed is that they differ {allowed}, and are about "
            "the leaf gap together"
        ),
        "judgedOtherwise": _(
            "This phone had judged it otherwise. What is shown here now is on record, and counts."
        ),
    }


def _of_parts() -> dict[str, str]:
    """The states of the parts of a fitting, as `views/part_states.py` and `labels.py` say them."""
    return {
        "stepDone": _("done"),
        "stepAccepted": _("accepted as it is"),
        "stepNext": _("next"),
        "stepNotYet": _("not yet"),
        "notedHere": _("saved on this phone, judged when it is sent"),
        "gapsNotRead": _("gaps not read yet"),
        "gapsEven": _("gaps even"),
        "gapsNotEven": _("gaps not even"),
        "gapsNotDecided": _("gaps not decided"),
        "gapsAccepted": _("gaps accepted as they are"),
        "sashNothing": _("nothing recorded yet"),
        "sashBegun": _("begun"),
        "sashDone": _("blocks, brace and glass done"),
        "sashNotSquare": _("out of square, diagonals {difference} mm apart"),
        "withBeadsOff": _("{state}, {count} of its beads off"),
        "memberCounted": _("{made} fixings made, {planned} planned"),
        "memberFoam": _("{made} fixings made, {planned} planned, foam alone somewhere"),
        "memberWithoutLayout": _("no layout satisfies the rules; fixings made: {count}"),
        "fixingDone": _("fixed"),
        "fixingMissing": _("not fixed yet"),
        "fixedInstead": _("fixed at {place} mm instead"),
        "doneOf": _("{done} of {count}"),
        "phaseDone": _("{done} of {count} done"),
        "stepsDone": _("{done} of {count} steps done"),
        "stepsDoneNext": _("{done} of {count} steps done; next: {number}, {title}"),
        "nextIs": _("Next: {number}, {title}"),
        "openDefects": _("open defects: {count}"),
    }


def _of_blockers() -> dict[str, str]:
    """What is in the way of recording something, as far as a phone can tell."""
    return {
        "inTheWay": _("Do this first"),
        "waitsFor": _("It is saved on this phone, and will be refused unless this comes first"),
        "inMetres": _(
            "{value} looks like metres; lengths are in mm, give {lowest} to {highest} {unit}"
        ),
        "notPossible": _("{value} {unit} is not possible here; give {lowest} to {highest} {unit}"),
        "outOfCalibration": _(
            "Its calibration was due on {day}: what it reads is set aside. Use another one."
        ),
        "doesNotFit": _(
            "It cannot show these limits: what it reads is set aside. Use another one."
        ),
        "blockedStep": _("do and record step {number}: {title}"),
        "blockedAgain": _("put right and record again step {number}: {title}"),
        "blockedFixings": _("fix the {member} mechanically, {count} more"),
        "blockedPlace": _("fix the {member} at {place} mm"),
        "blockedLayout": _("have the office accept how the {member} is fixed"),
        "blockedOpenWall": _(
            "record the survey with the old door out, or say in the note what was measured by hand"
        ),
        "blockedBeads": _("the beads of these sashes are not all in the register: {sashes}"),
        "blockedGaps": _("read the gaps of these junctions: {junctions}"),
        "blockedSquare": _("square sash {number} by its brace and read its diagonals again"),
        "blockedHandover": _("it is recorded by the handover of the job"),
        "blockedBeyond": _("the member ends at {length} mm"),
        "blockedNumber": _("{number} is written on another bead"),
        "blockedTurn": _("put another bead of sash {leaf} back first"),
    }
