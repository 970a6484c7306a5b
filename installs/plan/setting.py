"""Steps from the protected room to a frame that stands plumb, level and square."""

from installs.plan import limits
from installs.plan.draft import READ_SIZES, Evidence, FittingFacts, Gate, StepDraft
from installs.plan.frame_lift import FRAME_IN_WORDS, FrameLift, Load, team_in_words
from jobs.rules import Rules

WITH_A_PHOTO: tuple[Evidence, ...] = ("acknowledgement", "photo")
BEFORE_FIXING: tuple[Gate, ...] = ("fixing", "handover")


def preparing() -> list[StepDraft]:
    return [
        StepDraft(
            "protect_room",
            "Protect the room and the way in; look for pipes and cables in the reveal",
            "prepare",
            WITH_A_PHOTO,
            caution="Cut or drill nothing before hidden services are found and made safe.",
        )
    ]


def removing() -> list[StepDraft]:
    return [
        StepDraft(
            "remeasure",
            "Opening measured again, delivered doorset checked against it",
            "removal",
            hold_point=True,
            caution="From here there is no way back: without the old door the house stands open.",
        ),
        StepDraft(
            "remove_old_door",
            "Take the old door out and clean up the opening",
            "removal",
            WITH_A_PHOTO,
            caution="Glass can break: gloves and eye protection. Old sealants and boards may hold "
            "asbestos: stop, leave them undisturbed and have them looked at by a licensed person.",
        ),
    ]


def setting(facts: FittingFacts, rules: Rules) -> list[StepDraft]:
    return [
        StepDraft(
            "damp_proof_course",
            "Lay the damp-proof course; replace it where it is damaged",
            "setting",
            WITH_A_PHOTO,
            gates=BEFORE_FIXING,
        ),
        StepDraft(
            "sill_level",
            "Packers level the sill",
            "setting",
            ("reading",),
            limits.level("sill_level", facts.frame_width, rules),
            gates=BEFORE_FIXING,
        ),
        _lift(facts),
        *_standing_true(facts, rules),
        _beads_off(),
        StepDraft(
            "support_sashes",
            "Set the running gear free where the system needs it; hold open sashes up",
            "setting",
            hold_point=True,
            critical=True,
            caution="An open sash overbalances and can crush: never leave one unsupported.",
        ),
    ]


def _lift(facts: FittingFacts) -> StepDraft:
    lift = facts.frame_lift
    return StepDraft(
        "lift_in",
        "Lift the frame in, sill first, then push in the head",
        "setting",
        ("checks",),
        checks={
            "team": _team(lift),
            "way": "the way was clear and dry, and nobody stood below",
            "held": "the frame is held until it is fixed",
        },
        hold_point=True,
        caution=f"The {FRAME_IN_WORDS[lift.with_sashes]}, is about {lift.load.mass:.0f} kg, worked "
        f"out and not weighed. {_asked_of_the_crew(lift.load)}{_with_the_sashes_off(lift)} Women "
        "in the team: the guideline allows less. A filter: plan the lift, and never lift alone.",
    )


def _team(lift: FrameLift) -> str:
    """What is confirmed on the day: one way to lift it or, where there is one, the other."""
    as_it_comes = f"lifted by {_needed(lift.load)}"
    if lift.sashes_off is None:
        return as_it_comes
    return f"{as_it_comes}; with the sashes taken off first: by {_needed(lift.sashes_off.frame)}"


def _asked_of_the_crew(load: Load) -> str:
    """What the guideline for men asks for; nobody lifts a frame alone."""
    if load.guideline.mechanical_aid:
        return "No team of the guideline lifts it: a lifting aid is required."
    return f"By the guideline it takes {_needed(load)}."


def _with_the_sashes_off(lift: FrameLift) -> str:
    if lift.sashes_off is None:
        return ""
    frame, sash = lift.sashes_off.frame, lift.sashes_off.heaviest_sash
    return (
        " Sashes taken off first, where and as the manufacturer allows: frame about "
        f"{frame.mass:.0f} kg, {_needed(frame)}; heaviest sash about {sash.mass:.0f} kg, "
        f"{_needed(sash)}."
    )


def _needed(load: Load) -> str:
    return team_in_words(load.guideline.people_needed)


def _standing_true(facts: FittingFacts, rules: Rules) -> list[StepDraft]:
    head_level = limits.level("head_level", facts.frame_width, rules)
    plumb = limits.plumb(facts.frame_height, rules)
    reading: tuple[Evidence, ...] = ("reading",)
    return [
        StepDraft(
            "plumb", "Jambs plumb, both ways", "setting", reading, plumb, gates=BEFORE_FIXING
        ),
        StepDraft("level", "Head level", "setting", reading, head_level, gates=BEFORE_FIXING),
        StepDraft(
            "diagonals",
            "Frame square",
            "setting",
            reading,
            limits.square(rules),
            gates=BEFORE_FIXING,
            instruments=READ_SIZES,
        ),
    ]


def _beads_off() -> StepDraft:
    return StepDraft(
        "beads_off",
        "Number every glazing bead, enter it by sash and side, take it off and keep it in order",
        "setting",
        register="beads_off",
        on_the_map="beads_off",
    )
