"""Steps from glass to keys."""

from installs.plan import limits
from installs.plan.draft import Ask, FittingFacts, StepDraft
from installs.plan.setting import WITH_A_PHOTO
from jobs.rules import Rules
from jobs.sentences import Sentence, StoredSentence, sentence

GLASS = sentence(
    "Cut-resistant gloves and eye protection; two people or an aid to every heavy pane."
)
GLASS_AND_BLOCKS = StoredSentence(
    "{glass} Keep {clearance:g} mm free at least between every edge of the glass and the profile; "
    "setting blocks are {thickness:g} mm thick or more, toe and heel packers as thick as squares "
    "the sash and leave that clearance. The maker of the system prevails{note}."
)
SASH_PACKED = StoredSentence("sash {number}: packed all round, nothing forced")
SEALING_ASKS: tuple[Ask, ...] = (
    "sealant_use_by",
    "surface_temperature",
    "air_temperature",
    "relative_humidity",
)
SEALING = StoredSentence(
    "Seal dry, clean faces of {lowest:g} to {highest:g} C, {margin:g} C above the dew point at "
    "least, with a sealant that is not past its day; its data sheet prevails{note}. Air the room, "
    "wear gloves, keep flames away."
)
LOCKING_PLATES = StoredSentence(
    "Set the locking plates at junction {junction}, where the doorset closes"
)
MAGNETS = StoredSentence("Fit magnets or stops where access leaf {leaf} could strike another leaf")
MAGNETS_OF_TWO = StoredSentence(
    "Fit magnets or stops where access leaf {leaf} and {other} could strike another leaf"
)
PLATES = {
    "central": sentence("central plate set; the door does not bind"),
    "top": sentence("top plate set; the door does not bind"),
    "bottom": sentence("bottom plate set; the door does not bind"),
}


def glazing(facts: FittingFacts, rules: Rules) -> list[StepDraft]:
    return [
        StepDraft(
            "run_leaves",
            sentence("Clean the track; every leaf runs freely"),
            "glazing",
            caution=sentence("Keep hands off the meeting edges of leaves that move."),
        ),
        StepDraft(
            "running_gear",
            sentence(
                "Set the running gear until the gaps at head and sill are equal at every junction"
            ),
            "glazing",
            register="gaps",
            on_the_map="gaps",
        ),
        _toe_and_heel(facts, rules),
        StepDraft(
            "glass_in",
            sentence("Glass in on its packers, also at hinges and locking points; not over-packed"),
            "glazing",
            ("checks",),
            checks={
                f"sash_{leaf.number}": SASH_PACKED(number=leaf.number)
                for leaf in facts.fold.folded_leaves()
            },
            on_the_map="glass_marking",
            caution=_glass(facts, rules),
        ),
        *_device(facts),
        StepDraft(
            "beads_back",
            sentence("Beads back in their own sash, in the order top, bottom, left, right"),
            "glazing",
            register="beads_back",
            on_the_map="beads_back",
        ),
        StepDraft(
            "gaps_again",
            sentence(
                "Read the gaps at every junction again: glass and braces have moved the leaves"
            ),
            "glazing",
            register="gaps_after_glass",
            on_the_map="gaps_again",
        ),
    ]


def finishing(facts: FittingFacts, rules: Rules) -> list[StepDraft]:
    return [
        _locking_plates(facts.fold.closing_junction),
        *_magnets(facts),
        StepDraft(
            "seal",
            sentence("Trim packers flush, mask and seal the joint"),
            "finishing",
            WITH_A_PHOTO,
            asks=("sealant_class", *SEALING_ASKS),
            caution=_sealing(rules),
        ),
        StepDraft(
            "tape_off",
            sentence(
                "Take the protective tape off, or leave it inside and say when somebody comes back"
            ),
            "finishing",
            asks=("return_on",),
        ),
        StepDraft(
            "clean",
            sentence("Clean and lubricate the track, clean the glass; everything works"),
            "finishing",
            ("checks",),
            checks={
                "track": sentence("track cleaned again and lubricated"),
                "glass": sentence("glass clean, without scratches"),
                "hinges": sentence("hinges move freely"),
                "handles": sentence("handles work"),
            },
        ),
    ]


def handing_over() -> list[StepDraft]:
    return [
        StepDraft(
            "demonstration",
            sentence("Customer shown how to open, close, lock and look after the doorset"),
            "handover",
            hold_point=True,
            gates=(),
        ),
        StepDraft(
            "keys",
            sentence("Keys handed over"),
            "handover",
            ("count",),
            limits.count_of(
                sentence("keys"), lower=1, upper=None, source=sentence("common practice, no source")
            ),
            gates=(),
        ),
    ]


def _sealing(rules: Rules) -> Sentence:
    lowest, highest = rules["sealant.applied_at"]
    return SEALING(
        lowest=lowest,
        highest=highest,
        margin=rules["sealant.above_dew_point"],
        note=rules.note("sealant.applied_at", "sealant.above_dew_point"),
    )


def _glass(facts: FittingFacts, rules: Rules) -> Sentence:
    """With how far the glass keeps off the profile, and how thick what it stands on is."""
    return GLASS_AND_BLOCKS(
        glass=GLASS,
        clearance=limits.edge_clearance(facts.longest_pane_edge, rules),
        thickness=rules["blocks.thickness"],
        note=rules.note("glass.edge_clearance", "blocks.thickness"),
    )


def _toe_and_heel(facts: FittingFacts, rules: Rules) -> StepDraft:
    title = sentence("Toe and heel every sash, from one end inwards, in alternating direction")
    if facts.fold.all_one_way:
        title = sentence(
            "Toe and heel every sash, begin with the second sash in, in alternating direction"
        )
    return StepDraft(
        "toe_and_heel",
        title,
        "glazing",
        on_the_map="blocks",
        caution=_glass(facts, rules),
    )


def _device(facts: FittingFacts) -> list[StepDraft]:
    if not facts.toe_and_heel_device:
        return []
    title = sentence(
        "Set the toe-and-heel device of every sash, packed off the glass and not over-tightened"
    )
    return [StepDraft("toe_and_heel_device", title, "glazing", caution=GLASS)]


def _locking_plates(junction: int) -> StepDraft:
    return StepDraft(
        "locking_plates",
        LOCKING_PLATES(junction=junction),
        "finishing",
        ("checks",),
        checks=dict(PLATES),
    )


def _magnets(facts: FittingFacts) -> list[StepDraft]:
    """An access leaf swings on its own and would strike its neighbour."""
    access = [leaf.number for leaf in facts.fold.folded_leaves() if leaf.access_leaf]
    if not access:
        return []
    leaf, *others = access
    title = MAGNETS_OF_TWO(leaf=leaf, other=others[0]) if others else MAGNETS(leaf=leaf)
    return [StepDraft("magnets", title, "finishing")]
