"""Steps from the protected room to a frame that stands plumb, level and square."""

from installs.plan import limits
from installs.plan.draft import Evidence, FittingFacts, StepDraft
from jobs.rules import Rules

WITH_A_PHOTO: tuple[Evidence, ...] = ("acknowledgement", "photo")


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
        ),
        StepDraft(
            "sill_level",
            "Packers level the sill",
            "setting",
            ("reading",),
            limits.level("sill_level", facts.frame_width, rules),
        ),
        _lift(facts),
        *_standing_true(facts, rules),
        _beads_off(),
        StepDraft(
            "support_sashes",
            "Set the running gear free where the system needs it; hold open sashes up",
            "setting",
            hold_point=True,
            caution="An open sash overbalances and can crush: never leave one unsupported.",
        ),
    ]


def _lift(facts: FittingFacts) -> StepDraft:
    return StepDraft(
        "lift_in",
        "Lift the frame in, sill first, then push in the head",
        "setting",
        ("checks",),
        checks={
            "team": f"lifted by {_needed(facts)}",
            "way": "the way was clear and dry, and nobody stood below",
            "held": "the frame is held until it is fixed",
        },
        hold_point=True,
        caution=f"The empty frame is about {facts.frame_mass:.0f} kg, worked out and not weighed. "
        f"By the guideline it takes {_needed(facts)}; with women in the team it allows less. It is "
        "a filter: plan the lift, and never lift alone.",
    )


def _needed(facts: FittingFacts) -> str:
    """What the guideline for men asks for; nobody lifts a frame alone."""
    people = facts.frame_lift.people_needed
    return "a lifting aid" if people is None else f"{max(2, people)} people or a lifting aid"


def _standing_true(facts: FittingFacts, rules: Rules) -> list[StepDraft]:
    head_level = limits.level("head_level", facts.frame_width, rules)
    plumb = limits.plumb(facts.frame_height, rules)
    return [
        StepDraft("plumb", "Jambs plumb, both ways", "setting", ("reading",), plumb),
        StepDraft("level", "Head level", "setting", ("reading",), head_level),
        StepDraft("diagonals", "Frame square", "setting", ("reading",), limits.square(rules)),
    ]


def _beads_off() -> StepDraft:
    return StepDraft(
        "beads_off",
        "Number every glazing bead, enter it by sash and side, take it off and keep it in order",
        "setting",
    )
