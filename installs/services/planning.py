"""From the records of a doorset to its fitting plan."""

from collections.abc import Mapping, Sequence
from dataclasses import asdict
from typing import Any, cast

from installs.arithmetic.damp_proof_course import stood_on
from installs.arithmetic.members import CAUTIONS as FIXING_CAUTIONS
from installs.arithmetic.members import (
    SILICA_DUST,
    FixingRules,
    Head,
    HeadFixing,
    JointPoint,
    makes_silica_dust,
)
from installs.arithmetic.members import SOURCES as FIXING_SOURCES
from installs.arithmetic.packers import PackerRules
from installs.arithmetic.sill_supports import SOURCES as SUPPORT_SOURCES
from installs.frozen import FittingPlan, FixingLayout, Substrate
from installs.models import Installation, PlanStep
from installs.plan import FittingFacts, StepDraft
from installs.plan.draft import SafetyLeader
from installs.services.calculation_rules import support_rules, support_source
from installs.services.kit import kit_of
from installs.services.lift_plan import access_of, frame_lift, lift_plan, tilt_of
from installs.services.plan_parts import (
    glazing_plan,
    joint_plan,
    running_gear_plan,
    sill_loads,
)
from jobs.arithmetic.doorset import Size
from jobs.arithmetic.fold import Fold
from jobs.models import Doorset, Visit
from jobs.rules import Rules
from jobs.sentences import StoredSentence, sentence
from surveys.arithmetic.answers import WholeSize
from surveys.gates import survey_after_removal, survey_before_removal
from surveys.models import FitDecision
from surveys.said_before import said_before

# Common practice, no source; the assessment of the fixing that is used goes before it.
FIXING_INTO = {
    "brick": sentence("frame anchor into the brick, never into a mortar joint"),
    "block": sentence("frame anchor or plug for blocks of this density; light blocks hold little"),
    "timber": sentence("wood screw into sound timber, clear of its edges"),
    "steel": sentence("self-drilling screw or bolt; keep unlike metals apart"),
    "concrete": sentence("frame anchor drilled clear of the edge and of reinforcement"),
}
FIXED = ("left", "right", "head", "sill")
ON_DAMP_PROOF_COURSE = StoredSentence(
    "Sill packers stand on new damp-proof course, reckoned {thickness:g} mm thick ({source}): "
    "measure what is laid, and take the difference off the packers."
)
BRICK_JAMBS = {
    "left": sentence("The left jamb is brick: fix into the brick, never into a mortar joint."),
    "right": sentence("The right jamb is brick: fix into the brick, never into a mortar joint."),
}


def fitting_facts(doorset: Doorset, visit: Visit, rules: Rules) -> FittingFacts:
    """What the steps depend on; frame sizes as delivered, where the delivery was accepted."""
    width, height = frame_size(doorset)
    frame, decision = Size(width, height), deciding_fit(doorset)
    conditions = decision.survey.conditions if decision else {}
    return FittingFacts(
        fold=_fold(doorset),
        frame_width=width,
        frame_height=height,
        frame_lift=frame_lift(doorset, frame, visit.people.count(), rules),
        access=access_of(doorset, frame, rules),
        tilt=tilt_of(doorset, frame, decision, rules),
        head_fixing=_head_fixing(doorset),
        ends_through_track=_ends_through_track(doorset),
        toe_and_heel_device=doorset.profile_system.toe_and_heel_device,
        longest_pane_edge=max(
            max(leaf.glass_width, leaf.glass_height) for leaf in doorset.calculation.leaves
        ),
        walls=conditions.get("substrate", {}),
        safety_led_by=cast(SafetyLeader, said_before(doorset.opening, "safety_led_by")),
    )


def frozen_plan(doorset: Doorset, visit: Visit, rules: Rules) -> FittingPlan:
    """The plan as it is frozen: fixing layout with packers, lifts, joints, glazing, running gear,
    junctions, leaves, cautions.

    Raises `UnusableInput` for a frame that is too narrow for its way of fixing the head.
    """
    # Loaded here: most processes never ask for this, and numpy is slow to load.
    from installs.arithmetic.frame_plan import CarryingSill, plan_frame  # noqa: PLC0415

    width, height = frame_size(doorset)
    frame = WholeSize(width, height)
    decision = deciding_fit(doorset)
    members = plan_frame(
        width,
        height,
        head=_head(doorset, rules),
        fixing_rules=fixing_rules(rules),
        joints=_joints(decision, rules),
        packer_rules=packer_rules(rules),
        carrying=CarryingSill(sill_loads(doorset, width, rules), support_rules(rules)),
    )
    fold = _fold(doorset)
    glazing = glazing_plan(doorset, fold, rules)
    substrates = _substrates(decision)
    parts: dict[str, Any] = {
        "fold": doorset.fold,
        "frame": frame,
        "head_fixing": _head_fixing(doorset),
        "fit_decision": str(decision.pk) if decision else None,
        "fixing_layout": FixingLayout(
            members=members,
            rules=fixing_rules(rules),
            sources=(
                *FIXING_SOURCES,
                rules.source("fixing.max_centres"),
                *SUPPORT_SOURCES,
                support_source(rules),
            ),
        ),
        "substrates": substrates,
        "lifts": lift_plan(doorset, Size(width, height), visit.people.count(), decision, rules),
        "joints": joint_plan(doorset, frame, decision, rules),
        "glazing": glazing,
        "kit": kit_of(doorset, members, substrates, glazing, rules),
        "running_gear": running_gear_plan(doorset, fold, rules),
        "closing_junction": fold.closing_junction,
        "junctions": doorset.calculation.junctions,
        "leaves": doorset.calculation.leaves,
        "cautions": (
            *FIXING_CAUTIONS,
            *_dust(substrates),
            *doorset.calculation.cautions,
            *_brick(decision),
            *_damp_proof_caution(decision, rules),
        ),
    }
    # Last, since it says which rules were borrowed meanwhile.
    return FittingPlan(**parts, **rules.signature())


def numbered_steps(installation: Installation, drafts: Sequence[StepDraft]) -> list[PlanStep]:
    """The steps of a plan, not stored yet, numbered from 1 in their working order."""
    return [
        PlanStep(installation=installation, number=number, **asdict(draft))
        for number, draft in enumerate(drafts, start=1)
    ]


def fixing_rules(rules: Rules) -> FixingRules:
    """The limits of a fixing layout, mm."""
    return FixingRules(
        end_min=rules["fixing.end_min"],
        end_max=rules["fixing.end_max"],
        max_centres=rules["fixing.max_centres"],
        min_fixings=rules["fixing.min_fixings"],
        clear_of=rules["fixing.clear_of"],
        one_fixing_up_to=rules["fixing.one_up_to"],
        least_apart=rules["fixing.least_apart"],
    )


def packer_rules(rules: Rules) -> PackerRules:
    """Thicknesses that the crew carries and the shortfall it may leave, mm."""
    return PackerRules(tuple(rules["packers.thicknesses"]), rules["packers.shortfall"])


def frame_size(doorset: Doorset) -> tuple[int, int]:
    """Width and height of the frame in mm: of the newest accepted delivery, else as ordered."""
    delivery = doorset.deliveries.filter(accepted=True).order_by("-created_at").first()
    source = delivery or doorset
    return source.frame_width, source.frame_height


def deciding_fit(doorset: Doorset) -> FitDecision | None:
    """The newest decision on the newest survey with the old door out, where that says that the
    frame fits; else on the newest before removal, which opened the removal gate.

    Its joint profile is what the packers are made up from.
    """
    newest_first = doorset.fit_decisions.order_by("-created_at")
    opening = doorset.opening
    if survey := survey_after_removal(opening):
        fits = newest_first.filter(survey=survey, verdict=FitDecision.Verdict.FITS)
        if decision := fits.first():
            return decision
    return newest_first.filter(survey=survey_before_removal(opening)).first()


def stage_planned_from(plan: FittingPlan) -> str | None:
    """The stage of the survey that packers and fixings follow from; None without a decision."""
    if plan.fit_decision is None:
        return None
    stages = FitDecision.objects.filter(pk=plan.fit_decision).values_list(
        "survey__stage", flat=True
    )
    return stages.first()


def _fold(doorset: Doorset) -> Fold:
    return Fold(doorset.leaves, doorset.left_leaves, doorset.right_leaves)


def _head_fixing(doorset: Doorset) -> HeadFixing:
    return cast(HeadFixing, doorset.head_fixing)


def _ends_through_track(doorset: Doorset) -> bool:
    """Whether the ends of the track that stay in place may be screwed through."""
    return Doorset.HeadFixing.THROUGH_TRACK in doorset.profile_system.head_fixing


def _head(doorset: Doorset, rules: Rules) -> Head:
    system = doorset.profile_system
    return Head(
        fixing=_head_fixing(doorset),
        removable_track_end=system.removable_track_end,
        ends_through_track=_ends_through_track(doorset),
        clear_of_track_joint=rules["fixing.clear_of_track_joint"],
        channel_end=rules["fixing.channel_end"],
    )


def _joints(decision: FitDecision | None, rules: Rules) -> dict[str, list[JointPoint]]:
    joints: dict[str, list[JointPoint]] = {}
    for point in decision.answer.joint_profile if decision else ():
        joints.setdefault(point.member, []).append(JointPoint(point.at, point.width))
    if decision and _new_damp_proof_course(decision):
        return stood_on(rules["dpc.thickness"], joints)
    return joints


def _new_damp_proof_course(decision: FitDecision) -> bool:
    """Whether one is laid after the opening was measured; a sound one was measured over."""
    return bool(decision.survey.conditions.get("damp_proof_course", "ok") != "ok")


def _damp_proof_caution(decision: FitDecision | None, rules: Rules) -> list[str]:
    if decision is None or not _new_damp_proof_course(decision):
        return []
    return [
        ON_DAMP_PROOF_COURSE(thickness=rules["dpc.thickness"], source=rules.source("dpc.thickness"))
    ]


def _substrates(decision: FitDecision | None) -> dict[str, Substrate]:
    """What each member is fixed to, by the survey that decided, and how that is done."""
    known = decision.survey.conditions.get("substrate", {}) if decision else {}
    return {
        member: Substrate(substrate, FIXING_INTO[substrate]) for member, substrate in known.items()
    }


def _dust(substrates: Mapping[str, Substrate]) -> list[str]:
    walls = [substrates.get(member) for member in FIXED]
    masonry = any(makes_silica_dust(wall.substrate if wall else None) for wall in walls)
    return [SILICA_DUST] if masonry else []


def _brick(decision: FitDecision | None) -> list[str]:
    """Where the bed joints of a jamb lie is only seen on the day."""
    substrate = decision.survey.conditions.get("substrate", {}) if decision else {}
    return [text for side, text in BRICK_JAMBS.items() if substrate.get(side) == "brick"]
