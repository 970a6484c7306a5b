"""The frozen plan of a fitting put into words, part by part. Pure."""

from collections.abc import Iterator, Mapping, Sequence
from itertools import groupby
from typing import Any, TypeVar

from installs.arithmetic.glazing_plan import Block, SashPlan
from installs.arithmetic.members import PlannedFixing, PlannedMember
from installs.frozen import (
    FittingPlan,
    JointBySealant,
    LiftPlan,
    PlannedJoint,
    PlannedLift,
    PlannedPaneLift,
    PlannedSashesOff,
    PlannedSashLift,
    RunningGear,
    Substrate,
)
from installs.plan.frame_lift import FRAME_LABELS, NEVER_ALONE
from jobs.arithmetic.doorset import Leaf
from jobs.code_labels import code_label
from jobs.figures import figure
from reports.papers.labels.survey import Pairs

L = TypeVar("L", PlannedPaneLift, PlannedSashLift)

METHODS = {
    "through_jamb": "through the jamb",
    "through_track": "through the track",
    "in_channel": "in the channel",
    "countersunk_in_sill": "countersunk in the sill",
}
BRACES = {
    "toe_and_heel_device": "The system's toe-and-heel device braces every sash: set it off the "
    "glass and do not over-tighten it.",
    "glass_on_blocks": "The glass on its blocks braces every sash.",
}
VERDICTS = {"sufficient": "✓ enough", "too_narrow": "✗ too narrow", "too_wide": "✗ too wide"}


def lifts_in_words(lifts: LiftPlan) -> list[dict[str, str]]:
    """The frame as it comes, and with its sashes off; then what comes loose, where what is alike
    stands in one row."""
    frame = lifts.frame
    what = FRAME_LABELS[frame.with_sashes].capitalize()
    rows = [{"what": what, **_lift(frame, least=NEVER_ALONE)}]
    if off := lifts.sashes_off:
        rows += _with_the_sashes_off(off)
    for sashes in _alike(lifts.sashes):
        what = f"{_of_leaves('sash', sashes)}, {_glazed(sashes[0])}"
        rows.append({"what": what, **_lift(sashes[0], least=NEVER_ALONE)})
    for panes in _alike(lifts.panes):
        rows.append({"what": _of_leaves("pane", panes), **_lift(panes[0])})
    return rows


def _with_the_sashes_off(off: PlannedSashesOff) -> list[dict[str, str]]:
    sash = off.heaviest_sash
    heaviest = f"and the heaviest sash, of leaf {sash.leaf}, {_glazed(sash)}"
    return [
        {
            "what": "Or, with the sashes taken off first: frame alone",
            **_lift(off.frame, least=NEVER_ALONE),
        },
        {"what": heaviest, **_lift(sash, least=NEVER_ALONE)},
    ]


def _alike(lifts: tuple[L, ...]) -> Iterator[list[L]]:
    """Neighbours that weigh the same to a tenth of a kg."""
    for _, group in groupby(lifts, key=lambda lift: round(lift.mass, 1)):
        yield list(group)


def _of_leaves(part: str, lifts: Sequence[PlannedPaneLift | PlannedSashLift]) -> str:
    if len(lifts) == 1:
        return f"{part.capitalize()} of leaf {lifts[0].leaf}"
    return f"Each {part} of leaves {lifts[0].leaf} to {lifts[-1].leaf}"


def _glazed(sash: PlannedSashLift) -> str:
    return "glazed" if sash.glazed else "unglazed"


def _lift(lift: PlannedLift, least: int = 1) -> dict[str, str]:
    needed = lift.people_needed
    people = max(least, needed or 0)
    return {
        "mass": f"{figure(lift.mass)} kg",
        "needs": f"{people} {'person' if people == 1 else 'people'}, or a lifting aid"
        if needed
        else "a lifting aid is required: no team of the guideline lifts it",
        "guideline": f"{figure(lift.guideline)} kg",
        "verdict": "✓ within" if lift.within_guideline else "✗ beyond",
    }


def lift_cautions(lifts: LiftPlan) -> list[str]:
    """Of every lift as things come, and the condition of taking sashes off first."""
    off = lifts.sashes_off
    of_lifts = (lifts.frame, *lifts.sashes, *lifts.panes)
    condition = [off.condition] if off else []
    return condition + [caution for lift in of_lifts for caution in lift.cautions]


def member_in_words(member: PlannedMember, substrates: Mapping[str, Substrate]) -> dict[str, Any]:
    """A member's packing schedule, and what it is fixed into."""
    into = substrates.get(member.name)
    return {
        "name": member.name,
        "into": f"into {into.substrate}: {into.fixing}" if into else "wall not recorded",
        "note": member.note or "",
        "reason": member.reason or "",
        "rows": [
            {"number": number, **_fixing(fixing)}
            for number, fixing in enumerate(member.fixings, start=1)
        ],
    }


def _fixing(fixing: PlannedFixing) -> dict[str, str]:
    told = {"at": f"{figure(fixing.position)} mm", "method": METHODS[fixing.method]}
    packers = fixing.packers
    if packers is None:
        return told | {"joint": "not measured", "pieces": "", "total": "", "left": ""}
    short = figure(packers.shortfall)
    return told | {
        "joint": f"{figure(packers.joint_width)} mm",
        "pieces": " + ".join(figure(piece) for piece in packers.pieces) or "none",
        "total": f"{figure(packers.thickness)} mm",
        "left": f"{short} mm" if packers.within else f"{short} mm ! over the limit",
    }


def glazing_in_words(plan: FittingPlan) -> list[dict[str, str]]:
    """Every sash in the order in which it is glazed."""
    planned = {sash.number: sash for sash in plan.glazing.leaves}
    sizes = {leaf.number: leaf for leaf in plan.leaves}
    return [_sash(planned[number], sizes[number]) for number in plan.glazing.order]


def _sash(sash: SashPlan, leaf: Leaf) -> dict[str, str]:
    width, height = leaf.glass_width, leaf.glass_height
    known = width is not None and height is not None
    return {
        "leaf": str(sash.number),
        "glass": f"{figure(width)} \N{MULTIPLICATION SIGN} {figure(height)}" if known else "",
        "mass": f"{figure(sash.glass_mass)} kg",
        "heel": code_label(sash.heel),
        "toe": code_label(sash.toe),
        "setting": _blocks(sash.setting_blocks),
        "location": _blocks(sash.location_blocks),
    }


def _blocks(blocks: Sequence[Block]) -> str:
    """`bottom 70, top 525`: the edge, and the block's middle along it."""
    return ", ".join(f"{block.edge} {figure(block.at)}" for block in blocks)


def block_length(plan: FittingPlan) -> str:
    """`100 mm`, or the range where blocks differ."""
    lengths = sorted(
        {
            figure(block.length)
            for sash in plan.glazing.leaves
            for block in (*sash.setting_blocks, *sash.location_blocks)
        },
        key=float,
    )
    return " to ".join(dict.fromkeys((lengths[0], lengths[-1]))) + " mm"


def joints_in_words(joints: Sequence[PlannedJoint]) -> list[dict[str, Any]]:
    """One row for each class of sealant: what it asks of every joint, and whether there is that."""
    classes = [one.sealant_class for one in joints[0].by_sealant_class] if joints else []
    return [
        {
            "sealant_class": figure(sealant_class),
            "joints": [_joint(joint.by_sealant_class[index]) for joint in joints],
        }
        for index, sealant_class in enumerate(classes)
    ]


def no_sealant_will_do(joints: Sequence[PlannedJoint]) -> bool:
    """Whether every class falls short at one joint at least."""
    by_class = zip(*(joint.by_sealant_class for joint in joints), strict=True)
    return not any(
        all(joint.verdict == "sufficient" for joint in of_class) for of_class in by_class
    )


def _joint(by_class: JointBySealant) -> dict[str, str]:
    least = max(by_class.by_movement, by_class.by_guidance)
    return {
        "wants": f"wants {figure(least)} to {figure(by_class.greatest)} mm"
        if least <= by_class.greatest
        else f"wants {figure(least)} mm, beyond the greatest of {figure(by_class.greatest)} mm",
        "governs": by_class.governs,
        "verdict": VERDICTS[by_class.verdict],
    }


def running_gear_in_words(gear: RunningGear) -> Pairs:
    """What a support can do, and what is wanted of the gaps."""
    return [
        ("Gaps at head and sill", f"differ by at most {figure(gear.tolerance)} mm"),
        ("One turn lifts", f"{figure(gear.lift_per_turn)} mm"),
        ("Range of a support", f"± {figure(gear.adjustment_range)} mm about its middle"),
    ]


def facts_of_visit(installation: dict[str, Any]) -> Iterator[str]:
    """What the crew should know before it starts."""
    plan: FittingPlan = installation["plan"]
    yield f"Closes and is locked at junction {plan.closing_junction}."
    keep = next((j.number for j in plan.junctions if j.keep), None)
    if keep is not None:
        side = "left" if keep == 0 else "right"
        yield f"The keep at the {side} jamb comes off before that jamb is fixed."
    if plan.fit_decision is None:
        yield "No fit was decided from a survey before removal: packers are made up on the day."
    if installation["replanned_because"]:
        yield f"Planned anew: {installation['replanned_because']}"
