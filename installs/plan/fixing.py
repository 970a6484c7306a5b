"""Steps that hold the frame in the wall: jambs, head, sill, and what is checked after them."""

from installs.arithmetic.members import CAUTIONS, SILICA_DUST, makes_silica_dust
from installs.plan import limits
from installs.plan.draft import FittingFacts, Gate, StepDraft
from jobs.rules import Rules
from jobs.sentences import Sentence, StoredSentence, sentence
from surveys.arithmetic.uncertainty import READ_SIZES

BEFORE_GLAZING: tuple[Gate, ...] = ("glazing", "handover")
KEEP_OFF = StoredSentence("Take the keep off the {side} jamb before that jamb is fixed")
DRILLING_MASONRY = StoredSentence("{drilling} {dust}")
GASKET_AND_KEEP_BACK = StoredSentence(
    "Put the infill gasket back over the fixings, and the keep back on the {side} jamb"
)


def fixing(facts: FittingFacts, rules: Rules) -> list[StepDraft]:
    return [
        StepDraft(
            "mark_fixings",
            sentence("Take the infill gasket out of the jambs and mark the fixing points"),
            "fixing",
        ),
        *_keep_off(facts.fold.keep_jamb),
        StepDraft(
            "fix_jambs",
            sentence("Fix the jambs, packers beside every fixing; do not over-tighten"),
            "fixing",
            on_the_map="jamb_fixings",
            caution=_drilling(facts, "left", "right"),
        ),
        StepDraft(
            "bow",
            sentence("Jambs not bowed"),
            "fixing",
            ("reading",),
            limits.bow(rules),
            gates=BEFORE_GLAZING,
        ),
        *_gasket_and_keep_back(facts.fold.keep_jamb),
        *(_head(facts)),
        StepDraft(
            "fix_sill",
            sentence("Drill the sill with a steel bit, countersink, screw it down"),
            "fixing",
            ("checks",),
            # A packer without a fixing holds nothing that would show that it is missing.
            checks={
                "sill_supports": sentence(
                    "packers under carriers, at meeting stiles and near both ends in as drawn, "
                    "tight by hand, and none lifts the sill"
                )
            },
            on_the_map="sill_fixings",
            caution=_drilling(facts, "sill"),
        ),
        StepDraft(
            "clear_height",
            sentence("Clear height even all along the frame"),
            "fixing",
            ("reading",),
            limits.clear_height(rules),
            gates=BEFORE_GLAZING,
            instruments=READ_SIZES,
        ),
        StepDraft(
            "foam",
            sentence("Foam fills the joint and holds nothing; it stays off coated faces"),
            "fixing",
            # From here on the joint is filled, and a fixing that is missing stays so.
            register="fixings",
            caution=sentence("Foam is no fixing. Air the room, wear gloves, keep flames away."),
        ),
    ]


def _keep_off(keep_jamb: str | None) -> list[StepDraft]:
    """The jamb of the keep cannot be fixed while the keep covers its fixing points."""
    if keep_jamb is None:
        return []
    return [StepDraft("keep_off", KEEP_OFF(side=keep_jamb), "fixing")]


def _gasket_and_keep_back(keep_jamb: str | None) -> list[StepDraft]:
    title = sentence("Put the infill gasket back over the fixings")
    if keep_jamb:
        title = GASKET_AND_KEEP_BACK(side=keep_jamb)
    return [StepDraft("gasket_back", title, "fixing")]


def _head(facts: FittingFacts) -> list[StepDraft]:
    if facts.head_fixing == "in_channel":
        return _head_in_channel(facts)
    return _head_through_track(facts)


def _head_in_channel(facts: FittingFacts) -> list[StepDraft]:
    title = sentence("Fix the head in its channel")
    if facts.ends_through_track:
        title = sentence("Fix the head in its channel, and through the ends of the track that stay")
    return [
        StepDraft(
            "track_out", sentence("Take the removable length of the top track out"), "fixing"
        ),
        _fix_head(title, facts),
        StepDraft(
            "track_back",
            sentence("Put the removable length of the track back, flush at both joints"),
            "fixing",
        ),
    ]


def _head_through_track(facts: FittingFacts) -> list[StepDraft]:
    title = sentence("Fix the head through the track; countersink until no screw head stands proud")
    return [_fix_head(title, facts)]


def _fix_head(title: Sentence, facts: FittingFacts) -> StepDraft:
    return StepDraft(
        "fix_head", title, "fixing", on_the_map="head_fixings", caution=_drilling(facts, "head")
    )


def _drilling(facts: FittingFacts, *members: str) -> Sentence:
    """What to take care of while these members are fixed, by what they are fixed into."""
    if any(makes_silica_dust(facts.walls.get(member)) for member in members):
        return DRILLING_MASONRY(drilling=CAUTIONS[0], dust=SILICA_DUST)
    return CAUTIONS[0]
