"""Steps from glass to keys."""

from installs.plan import limits
from installs.plan.draft import FittingFacts, StepDraft
from installs.plan.setting import WITH_A_PHOTO

GLASS = "Cut-resistant gloves and eye protection; two people or an aid to every heavy pane."


def glazing(facts: FittingFacts) -> list[StepDraft]:
    return [
        StepDraft(
            "run_leaves",
            "Clean the track; every leaf runs freely",
            "glazing",
            caution="Keep hands off the meeting edges of leaves that move.",
        ),
        StepDraft(
            "running_gear",
            "Set the running gear until the gaps at head and sill are equal at every junction",
            "glazing",
            register="gaps",
            on_the_map="gaps",
        ),
        _toe_and_heel(facts),
        StepDraft(
            "glass_in",
            "Glass in on its packers, also at hinges and locking points; not over-packed",
            "glazing",
            ("checks",),
            checks={
                f"sash_{leaf.number}": f"sash {leaf.number}: packed all round, nothing forced"
                for leaf in facts.fold.folded_leaves()
            },
            on_the_map="glass_marking",
            caution=GLASS,
        ),
        *_device(facts),
        StepDraft(
            "beads_back",
            "Beads back in their own sash, in the order top, bottom, left, right",
            "glazing",
            register="beads_back",
            on_the_map="beads_back",
        ),
        StepDraft(
            "gaps_again",
            "Read the gaps at every junction again: glass and braces have moved the leaves",
            "glazing",
            register="gaps_after_glass",
            on_the_map="gaps_again",
        ),
    ]


def finishing(facts: FittingFacts) -> list[StepDraft]:
    return [
        _locking_plates(facts.fold.closing_junction),
        *_magnets(facts),
        StepDraft(
            "seal",
            "Trim packers flush, mask and seal the joint",
            "finishing",
            WITH_A_PHOTO,
            asks=("sealant_class",),
        ),
        StepDraft(
            "tape_off",
            "Take the protective tape off, or leave it inside and say when somebody comes back",
            "finishing",
            asks=("return_on",),
        ),
        StepDraft(
            "clean",
            "Clean and lubricate the track, clean the glass; everything works",
            "finishing",
            ("checks",),
            checks={
                "track": "track cleaned again and lubricated",
                "glass": "glass clean, without scratches",
                "hinges": "hinges move freely",
                "handles": "handles work",
            },
        ),
    ]


def handing_over() -> list[StepDraft]:
    return [
        StepDraft(
            "demonstration",
            "Customer shown how to open, close, lock and look after the doorset",
            "handover",
            hold_point=True,
            gates=(),
        ),
        StepDraft(
            "keys",
            "Keys handed over",
            "handover",
            ("count",),
            limits.count_of("keys", lower=1, upper=None, source="common practice, no source"),
            gates=(),
        ),
    ]


def _toe_and_heel(facts: FittingFacts) -> StepDraft:
    begin = "begin with the second sash in" if facts.fold.all_one_way else "from one end inwards"
    return StepDraft(
        "toe_and_heel",
        f"Toe and heel every sash, {begin}, in alternating direction",
        "glazing",
        on_the_map="blocks",
        caution=GLASS,
    )


def _device(facts: FittingFacts) -> list[StepDraft]:
    if not facts.toe_and_heel_device:
        return []
    title = "Set the toe-and-heel device of every sash, packed off the glass and not over-tightened"
    return [StepDraft("toe_and_heel_device", title, "glazing", caution=GLASS)]


def _locking_plates(junction: int) -> StepDraft:
    return StepDraft(
        "locking_plates",
        f"Set the locking plates at junction {junction}, where the doorset closes",
        "finishing",
        ("checks",),
        checks={
            place: f"{place} plate set; the door does not bind"
            for place in ("central", "top", "bottom")
        },
    )


def _magnets(facts: FittingFacts) -> list[StepDraft]:
    """An access leaf swings on its own and would strike its neighbour."""
    access = [leaf.number for leaf in facts.fold.folded_leaves() if leaf.access_leaf]
    if not access:
        return []
    leaves = " and ".join(str(number) for number in access)
    title = f"Fit magnets or stops where access leaf {leaves} could strike another leaf"
    return [StepDraft("magnets", title, "finishing")]
