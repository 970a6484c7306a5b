"""Steps from the protected room to a frame that is plumb, level and square."""

from installs.arithmetic.access import AccessAnswer
from installs.plan import limits
from installs.plan.draft import Evidence, FittingFacts, Gate, SafetyLeader, StepDraft
from installs.plan.frame_lift import FRAME_LABELS, FrameLift, Load, held_label, team_label
from jobs.rules import Rules
from jobs.sentences import Sentence, StoredSentence, sentence
from surveys.arithmetic.uncertainty import READ_SIZES

WITH_A_PHOTO: tuple[Evidence, ...] = ("acknowledgement", "photo")
HIDDEN_SERVICES = sentence("Cut or drill nothing before hidden services are found and made safe.")
ALONE = StoredSentence(
    "{services} Name who of the crew leads safety today. Alone on the site, this firm keeps the "
    "construction phase plan (CDM Regulations 2015, regulations 7 and 15)."
)
AMONG_OTHERS = StoredSentence(
    "{services} The principal contractor leads safety: report to them first, work by their "
    "construction phase plan, and tell them who of the crew answers for it (CDM Regulations 2015, "
    "regulations 13 and 15)."
)
NOT_SETTLED = StoredSentence(
    "{services} Name who leads safety today: this firm where it is alone on the site, else the "
    "principal contractor (CDM Regulations 2015, regulations 5, 7 and 15)."
)
BEFORE_WORK: dict[SafetyLeader, StoredSentence] = {
    "this_firm": ALONE,
    "principal_contractor": AMONG_OTHERS,
    "not_known": NOT_SETTLED,
    "": NOT_SETTLED,
}
BEFORE_FIXING: tuple[Gate, ...] = ("fixing", "handover")
TILT_IN = sentence("Lift the frame in, sill first, then push in the head")
PUSH_IN = sentence("Stand the frame upright before the opening and push it in level, never tilted")
GOT_IN = StoredSentence("the way in was walked first, and the frame got in as planned: {how}")
OTHER_WAY = StoredSentence(
    "the office agreed to another way in, and it was walked first. By the measured way: {how}"
)
LIFTED = StoredSentence("lifted by {team}")
LIFTED_EITHER_WAY = StoredSentence(
    "lifted by {team}; with the sashes taken off first: by {frame_team}"
)
BY_GUIDELINE = StoredSentence("By the guideline it takes {team}.")
LIFT_CAUTION = StoredSentence(
    "The {frame}, is about {mass:.0f} kg, calculated and not weighed. {guideline} Women in the "
    "team: the guideline allows less. A filter: plan the lift, and never lift alone."
)
LIFT_CAUTION_EITHER_WAY = StoredSentence(
    "The {frame}, is about {mass:.0f} kg, calculated and not weighed. {guideline} Sashes taken off "
    "first, where and as the manufacturer allows: frame about {frame_mass:.0f} kg, {frame_team}; "
    "heaviest sash about {sash_mass:.0f} kg, {sash_team}. Women in the team: the guideline allows "
    "less. A filter: plan the lift, and never lift alone."
)


def preparing(facts: FittingFacts) -> list[StepDraft]:
    return [
        StepDraft(
            "protect_room",
            sentence("Protect the room and the way in; look for pipes and cables in the reveal"),
            "prepare",
            WITH_A_PHOTO,
            caution=BEFORE_WORK[facts.safety_led_by](services=HIDDEN_SERVICES),
        )
    ]


def removing() -> list[StepDraft]:
    return [
        StepDraft(
            "remeasure",
            sentence("Opening measured again, delivered doorset checked against it"),
            "removal",
            hold_point=True,
            caution=sentence(
                "From here there is no way back: without the old door the house stands open."
            ),
        ),
        StepDraft(
            "remove_old_door",
            sentence("Take the old door out and clean up the opening"),
            "removal",
            WITH_A_PHOTO,
            caution=sentence(
                "Glass can break: gloves and eye protection. Old sealants and boards may hold "
                "asbestos: stop, leave them undisturbed and have them looked at by a licensed "
                "person. Breaking out masonry makes silica dust: keep it wet, wear a mask of class "
                "FFP3, never brush it dry."
            ),
        ),
        StepDraft(
            "measure_open_wall",
            sentence("Opening measured again with the old door out, and the frame still fits it"),
            "removal",
            hold_point=True,
            register="survey_after_removal",
            caution=sentence(
                "The wall itself is seen for the first time. Rot, loose masonry, or no lintel over "
                "the opening: stop, prop nothing by guess, and ask a structural engineer. A frame "
                "that does not fit stays out: close the opening against weather and falls, and "
                "make it good first."
            ),
        ),
    ]


def setting(facts: FittingFacts, rules: Rules) -> list[StepDraft]:
    return [
        StepDraft(
            "damp_proof_course",
            sentence("Lay the damp-proof course; replace it where it is damaged"),
            "setting",
            ("checks", "photo"),
            gates=BEFORE_FIXING,
            checks={
                "under_sill": sentence(
                    "damp-proof course under the whole sill, turned up behind it"
                ),
                "end_caps": sentence("end caps of the sill on, and sealed to its ends"),
            },
        ),
        StepDraft(
            "sill_level",
            sentence("Packers level the sill"),
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
            sentence("Set the running gear free where the system needs it; hold open sashes up"),
            "setting",
            hold_point=True,
            critical=True,
            caution=sentence(
                "An open sash overbalances and can crush: never leave one unsupported."
            ),
        ),
    ]


def _lift(facts: FittingFacts) -> StepDraft:
    lift = facts.frame_lift
    return StepDraft(
        "lift_in",
        PUSH_IN if facts.tilt.way == "upright" else TILT_IN,
        "setting",
        ("checks",),
        checks={
            "team": _team(lift),
            "grip": held_label(lift.load.held),
            **({"access": _way_in(facts.access)} if facts.access else {}),
            "tilt": facts.tilt.what,
            "way": sentence("the way was clear and dry, and nobody stood below"),
            "held": sentence("the frame is held until it is fixed"),
        },
        hold_point=True,
        asks=("lifted_with",),
        caution=_lift_caution(lift),
    )


def _way_in(access: AccessAnswer) -> Sentence:
    """What is confirmed of the way in: that it was the planned way, or why it was another."""
    return (OTHER_WAY if access.verdict == "does_not_pass" else GOT_IN)(how=access.what)


def _team(lift: FrameLift) -> Sentence:
    """What is confirmed on the day: one way to lift it or, where there is one, the other."""
    if lift.sashes_off is None:
        return LIFTED(team=_team_for(lift.load))
    return LIFTED_EITHER_WAY(team=_team_for(lift.load), frame_team=_team_for(lift.sashes_off.frame))


def _lift_caution(lift: FrameLift) -> Sentence:
    values = {
        "frame": FRAME_LABELS[lift.with_sashes],
        "mass": lift.load.mass,
        "guideline": _guideline(lift.load),
    }
    if lift.sashes_off is None:
        return LIFT_CAUTION(**values)
    frame, sash = lift.sashes_off.frame, lift.sashes_off.heaviest_sash
    return LIFT_CAUTION_EITHER_WAY(
        **values,
        frame_mass=frame.mass,
        frame_team=_team_for(frame),
        sash_mass=sash.mass,
        sash_team=_team_for(sash),
    )


def _guideline(load: Load) -> Sentence:
    """What the guideline for men asks for; nobody lifts a frame alone."""
    if load.guideline.mechanical_aid:
        return sentence("No team of the guideline lifts it: a lifting aid is required.")
    return BY_GUIDELINE(team=_team_for(load))


def _team_for(load: Load) -> Sentence:
    return team_label(load.guideline.people_needed)


def _standing_true(facts: FittingFacts, rules: Rules) -> list[StepDraft]:
    head_level = limits.level("head_level", facts.frame_width, rules)
    plumb = limits.plumb(facts.frame_width, facts.frame_height, rules)
    reading: tuple[Evidence, ...] = ("reading",)
    return [
        StepDraft(
            "plumb",
            sentence("Jambs plumb, both ways"),
            "setting",
            reading,
            plumb,
            gates=BEFORE_FIXING,
        ),
        StepDraft(
            "level", sentence("Head level"), "setting", reading, head_level, gates=BEFORE_FIXING
        ),
        StepDraft(
            "diagonals",
            sentence("Frame square"),
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
        sentence(
            "Number every glazing bead, enter it by sash and side, take it off and keep it in order"
        ),
        "setting",
        register="beads_off",
        on_the_map="beads_off",
    )
