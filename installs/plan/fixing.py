"""Steps that hold the frame in the wall: jambs, head, sill, and what is checked after them."""

from installs.plan import limits
from installs.plan.draft import FittingFacts, StepDraft
from jobs.rules import Rules

DRILLING = "Look for hidden pipes and cables before drilling; wear eye protection."


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
            caution=DRILLING,
        ),
        StepDraft("bow", "Jambs not bowed", "fixing", ("reading",), limits.bow(rules)),
        *(_head_in_channel() if facts.head_fixing == "in_channel" else _head_through_track()),
        StepDraft(
            "fix_sill",
            "Drill the sill with a steel bit, countersink, screw it down",
            "fixing",
            caution=DRILLING,
        ),
        StepDraft(
            "clear_height",
            "Clear height even all along the frame",
            "fixing",
            ("reading",),
            limits.clear_height(rules),
        ),
        StepDraft(
            "foam",
            "Foam fills the joint and holds nothing; it stays off coated faces",
            "fixing",
            caution="Foam is no fixing. Air the room, wear gloves, keep flames away.",
        ),
    ]


def _keep_off(keep_jamb: str | None) -> list[StepDraft]:
    """The jamb of the keep cannot be fixed while the keep covers its fixing points."""
    if keep_jamb is None:
        return []
    title = f"Take the keep off the {keep_jamb} jamb before that jamb is fixed"
    return [StepDraft("keep_off", title, "fixing")]


def _head_in_channel() -> list[StepDraft]:
    return [
        StepDraft("track_out", "Take the removable length of the top track out", "fixing"),
        StepDraft(
            "fix_head",
            "Fix the head in its channel, and through the ends of the track that stay",
            "fixing",
            caution=DRILLING,
        ),
        StepDraft(
            "track_back",
            "Put the removable length of the track back, flush at both joints",
            "fixing",
        ),
    ]


def _head_through_track() -> list[StepDraft]:
    title = "Fix the head through the track; countersink until no screw head stands proud"
    return [StepDraft("fix_head", title, "fixing", caution=DRILLING)]
