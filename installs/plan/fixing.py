"""Steps that hold the frame in the wall: jambs, head, sill, and what is checked after them."""

from installs.arithmetic.members import CAUTIONS
from installs.plan import limits
from installs.plan.draft import READ_SIZES, FittingFacts, Gate, StepDraft
from jobs.rules import Rules

BEFORE_GLAZING: tuple[Gate, ...] = ("glazing", "handover")


def fixing(facts: FittingFacts, rules: Rules) -> list[StepDraft]:
    return [
        StepDraft(
            "mark_fixings",
            "Take the infill gasket out of the jambs and mark the fixing points",
            "fixing",
        ),
        *_keep_off(facts.fold.keep_jamb),
        StepDraft(
            "fix_jambs",
            "Fix the jambs, packers beside every fixing; do not over-tighten",
            "fixing",
            on_the_map="jamb_fixings",
            caution=CAUTIONS[0],
        ),
        StepDraft(
            "bow",
            "Jambs not bowed",
            "fixing",
            ("reading",),
            limits.bow(rules),
            gates=BEFORE_GLAZING,
        ),
        *_gasket_and_keep_back(facts.fold.keep_jamb),
        *(_head_in_channel(facts) if facts.head_fixing == "in_channel" else _head_through_track()),
        StepDraft(
            "fix_sill",
            "Drill the sill with a steel bit, countersink, screw it down",
            "fixing",
            on_the_map="sill_fixings",
            caution=CAUTIONS[0],
        ),
        StepDraft(
            "clear_height",
            "Clear height even all along the frame",
            "fixing",
            ("reading",),
            limits.clear_height(rules),
            gates=BEFORE_GLAZING,
            instruments=READ_SIZES,
        ),
        StepDraft(
            "foam",
            "Foam fills the joint and holds nothing; it stays off coated faces",
            "fixing",
            # From here on the joint is filled, and a fixing that is missing stays so.
            register="fixings",
            caution="Foam is no fixing. Air the room, wear gloves, keep flames away.",
        ),
    ]


def _keep_off(keep_jamb: str | None) -> list[StepDraft]:
    """The jamb of the keep cannot be fixed while the keep covers its fixing points."""
    if keep_jamb is None:
        return []
    title = f"Take the keep off the {keep_jamb} jamb before that jamb is fixed"
    return [StepDraft("keep_off", title, "fixing")]


def _gasket_and_keep_back(keep_jamb: str | None) -> list[StepDraft]:
    keep = f", and the keep back on the {keep_jamb} jamb" if keep_jamb else ""
    title = f"Put the infill gasket back over the fixings{keep}"
    return [StepDraft("gasket_back", title, "fixing")]


def _head_in_channel(facts: FittingFacts) -> list[StepDraft]:
    ends = ", and through the ends of the track that stay" if facts.ends_through_track else ""
    return [
        StepDraft("track_out", "Take the removable length of the top track out", "fixing"),
        _fix_head(f"Fix the head in its channel{ends}"),
        StepDraft(
            "track_back",
            "Put the removable length of the track back, flush at both joints",
            "fixing",
        ),
    ]


def _head_through_track() -> list[StepDraft]:
    return [
        _fix_head("Fix the head through the track; countersink until no screw head stands proud")
    ]


def _fix_head(title: str) -> StepDraft:
    return StepDraft("fix_head", title, "fixing", on_the_map="head_fixings", caution=CAUTIONS[0])
