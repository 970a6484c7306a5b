"""Labels of the frozen plan of a fitting, part by part."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import asdict
from itertools import groupby
from typing import Any, TypeVar

from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop, ngettext

from installs.arithmetic.access import AccessAnswer
from installs.arithmetic.glazing_plan import Block, SashPlan
from installs.arithmetic.holding import Held
from installs.arithmetic.joint_movement import Temperatures
from installs.arithmetic.kit import Kit
from installs.arithmetic.members import PlannedFixing, PlannedMember, makes_silica_dust
from installs.arithmetic.packers import PackerStack
from installs.arithmetic.season import SeasonRules, closing_gap
from installs.arithmetic.sill_supports import SillLoad, SupportPosition
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
from installs.kit_words import screws_label
from installs.plan.frame_lift import NEVER_ALONE
from installs.sealant_judgement import seal_between
from installs.support_labels import carried_label
from jobs.arithmetic.doorset import Leaf
from jobs.code_labels import code_label
from jobs.figures import figure, number
from jobs.translation import translated
from reports.papers.frozen.papers import PlannedInstallation
from reports.papers.labels.conditions import way_in_label
from reports.papers.labels.doorset import Pairs

L = TypeVar("L", PlannedPaneLift, PlannedSashLift)

WORKING_DAYS_C = (0.0, 10.0, 20.0, 30.0)
METHODS = {
    "through_jamb": gettext_noop("through the jamb"),
    "through_track": gettext_noop("through the track"),
    "in_channel": gettext_noop("in the channel"),
    "countersunk_in_sill": gettext_noop("countersunk in the sill"),
}
BRACES = {
    "toe_and_heel_device": gettext_noop(
        "The system's toe-and-heel device braces every sash: set it off the glass and do not "
        "over-tighten it."
    ),
    "glass_on_blocks": gettext_noop("The glass on its blocks braces every sash."),
}
VERDICTS = {
    "sufficient": gettext_noop("✓ enough"),
    "too_narrow": gettext_noop("✗ too narrow"),
    "too_wide": gettext_noop("✗ too wide"),
}
FRAMES = {
    None: gettext_noop("Frame alone, without its sashes"),
    "unglazed": gettext_noop("Frame with its sashes, unglazed"),
    "glazed": gettext_noop("Frame with its sashes, glazed"),
}
PLANNED_FROM = {
    "before_removal": gettext_noop(
        "Packers and fixings are planned from the survey before the old door came out: the wall "
        "behind it was not seen yet. Measured again with the old door out, they are planned anew."
    ),
    "after_removal": gettext_noop(
        "Packers and fixings are planned from the survey with the old door out."
    ),
}
HELD = {
    ("people", "width"): gettext_noop("{places} mm from its left"),
    ("people", "height"): gettext_noop("{places} mm from its foot"),
    ("aid", "width"): gettext_noop("aid: {places} mm from its left"),
    ("aid", "height"): gettext_noop("aid: {places} mm from its foot"),
}
NOT_MEASURED = {
    "passage_width": gettext_noop("the narrowest passage was not measured"),
    "passage_height": gettext_noop("the lowest ceiling was not measured"),
}
JOINTS = {
    "left": gettext_noop("Left, at its least {width} mm"),
    "right": gettext_noop("Right, at its least {width} mm"),
    "head": gettext_noop("Head, at its least {width} mm"),
}
GOVERNED_BY = {
    "movement": gettext_noop("movement governs"),
    "guidance": gettext_noop("guidance governs"),
}
CHAINS = {
    "left": gettext_noop("Chain on the left jamb"),
    "right": gettext_noop("Chain on the right jamb"),
}


def lift_rows(lifts: LiftPlan) -> list[dict[str, str]]:
    """The frame as it comes, and with its sashes off; then what comes loose, where neighbours that
    weigh the same share a row."""
    frame = lifts.frame
    rows = [{"what": _(FRAMES[frame.with_sashes]), **_lift(frame, least=NEVER_ALONE)}]
    if off := lifts.sashes_off:
        rows += _with_the_sashes_off(off)
    for sashes in _alike(lifts.sashes):
        rows.append({"what": _sashes(sashes), **_lift(sashes[0], least=NEVER_ALONE)})
    for panes in _alike(lifts.panes):
        rows.append({"what": _panes(panes), **_lift(panes[0])})
    return rows


def _with_the_sashes_off(off: PlannedSashesOff) -> list[dict[str, str]]:
    sash = off.heaviest_sash
    heaviest = _("and the heaviest sash, of leaf {leaf}, unglazed")
    if sash.glazed:
        heaviest = _("and the heaviest sash, of leaf {leaf}, glazed")
    return [
        {
            "what": _("Or, with the sashes taken off first: frame alone"),
            **_lift(off.frame, least=NEVER_ALONE),
        },
        {"what": heaviest.format(leaf=sash.leaf), **_lift(sash, least=NEVER_ALONE)},
    ]


def _alike(lifts: tuple[L, ...]) -> Iterator[list[L]]:
    """Neighbours that weigh the same to a tenth of a kg."""
    for _mass, group in groupby(lifts, key=lambda lift: round(lift.mass, 1)):
        yield list(group)


def _sashes(sashes: Sequence[PlannedSashLift]) -> str:
    first, last = sashes[0].leaf, sashes[-1].leaf
    if len(sashes) == 1:
        label = _("Sash of leaf {leaf}, unglazed")
        if sashes[0].glazed:
            label = _("Sash of leaf {leaf}, glazed")
        return label.format(leaf=first)
    each = _("Each sash of leaves {first} to {last}, unglazed")
    if sashes[0].glazed:
        each = _("Each sash of leaves {first} to {last}, glazed")
    return each.format(first=first, last=last)


def _panes(panes: Sequence[PlannedPaneLift]) -> str:
    if len(panes) == 1:
        return _("Pane of leaf {leaf}").format(leaf=panes[0].leaf)
    each = _("Each pane of leaves {first} to {last}")
    return each.format(first=panes[0].leaf, last=panes[-1].leaf)


def _lift(lift: PlannedLift, least: int = 1) -> dict[str, str]:
    needed = lift.people_needed
    return {
        "mass": f"{figure(lift.mass)} kg",
        "needs": _people(max(least, needed))
        if needed
        else _("a lifting aid is required: no team of the guideline lifts it"),
        "held": _held(lift.held),
        "guideline": f"{figure(lift.guideline)} kg",
        "verdict": _("✓ within") if lift.within_guideline else _("✗ beyond"),
    }


def _held(held: Held | None) -> str:
    """Where hands or the bearers of an aid go; nothing in plans from before it was worked out."""
    if held is None:
        return ""
    places = ", ".join(map(str, held.places))
    return _(HELD[held.by, held.along]).format(places=places)


def _people(count: int) -> str:
    label = ngettext("{count} person, or a lifting aid", "{count} people, or a lifting aid", count)
    return label.format(count=count)


def lift_cautions(lifts: LiftPlan) -> list[str]:
    """Of every lift as things come, and the condition of taking sashes off first."""
    off = lifts.sashes_off
    of_lifts = (lifts.frame, *lifts.sashes, *lifts.panes)
    condition = [off.condition] if off else []
    return condition + [caution for lift in of_lifts for caution in lift.cautions]


def access_label(access: AccessAnswer | None) -> dict[str, Any] | None:
    """How the doorset gets in by the way that was measured; None where nobody measured it."""
    if access is None:
        return None
    way_in = asdict(access.way_in)
    return {
        "what": access.what,
        "passes": access.verdict != "does_not_pass",
        "measured": way_in_label({k: v for k, v in way_in.items() if v is not None}),
        "not_measured": "; ".join(_(NOT_MEASURED[name]) for name in access.not_measured),
        "advice": access.advice,
        "sources": access.sources,
    }


def member_labels(member: PlannedMember, substrates: Mapping[str, Substrate]) -> dict[str, Any]:
    """A member's packing schedule, and what it is fixed into; `carries_load`: it is packed where it
    carries load, too, and not at its fixings alone."""
    return {
        "name": member.name,
        "into": _into(substrates.get(member.name)),
        "note": member.note or "",
        "reason": member.reason or "",
        "carries_load": bool(member.support_positions),
        "rows": list(_packing_rows(member)),
    }


def _packing_rows(member: PlannedMember) -> Iterator[dict[str, str]]:
    """From the left or foot end; numbered as in the member's drawing."""
    numbers = {fixing.position: number(n) for n, fixing in enumerate(member.fixings, start=1)}
    for n, support in enumerate(member.supports_without_fixing, start=1):
        numbers[support.position] = f"P{n}"
    for place in member.packed:
        yield {
            "number": numbers[place.position],
            "at": f"{figure(place.position)} mm",
            "method": _method(place, member.carried_at(place.position)),
            **_packers(place.packers),
        }


def _method(place: PlannedFixing | SupportPosition, carries: Sequence[SillLoad]) -> str:
    carried = carried_label(carries) if carries else ""
    if isinstance(place, SupportPosition):
        return _("packer without a fixing, {carried}").format(carried=carried)
    method = _(METHODS[place.method])
    return _("{method}; {carried}").format(method=method, carried=carried) if carried else method


def kit_rows(kit: Kit) -> Iterator[tuple[str, str]]:
    """What to take along: how many, and of what."""
    for screws in kit.screws:
        yield screws_label(screws), number(screws.count)
    for packers in kit.packers:
        yield (
            _("packers of {thickness} mm").format(thickness=figure(packers.thickness)),
            number(packers.count),
        )
    if not kit.screws or any(makes_silica_dust(screws.substrate) for screws in kit.screws):
        yield _("dust extractor of class M that fits the drill"), number(1)
        yield _("masks of class FFP3, fitted to whoever wears them"), _("one each")
    yield _("glazing blocks"), number(kit.blocks)
    yield (
        _("joint to seal round the frame, on each face"),
        f"{number(kit.sealant_run / 1000, '.1f')} m",
    )


def _into(wall: Substrate | None) -> str:
    if wall is None:
        return _("wall not recorded")
    label = _("into {substrate}: {fixing}")
    return label.format(substrate=code_label(wall.substrate), fixing=translated(wall.fixing))


def _packers(packers: PackerStack | None) -> dict[str, str]:
    if packers is None:
        return {"joint": _("not measured"), "pieces": "", "total": "", "left": ""}
    left = f"{figure(packers.shortfall)} mm"
    return {
        "joint": f"{figure(packers.joint_width)} mm",
        "pieces": " + ".join(figure(piece) for piece in packers.pieces) or code_label("none"),
        "total": f"{figure(packers.thickness)} mm",
        "left": left if packers.within else _("{width} ! over the limit").format(width=left),
    }


def glazing_rows(plan: FittingPlan) -> list[dict[str, str]]:
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
    return ", ".join(f"{code_label(block.edge)} {figure(block.at)}" for block in blocks)


def block_length(plan: FittingPlan) -> str:
    """`100 mm`, or the range where blocks differ."""
    lengths = [
        block.length
        for sash in plan.glazing.leaves
        for block in (*sash.setting_blocks, *sash.location_blocks)
    ]
    least, greatest = figure(min(lengths)), figure(max(lengths))
    if least == greatest:
        return f"{least} mm"
    return _("{least} to {greatest} mm").format(least=least, greatest=greatest)


def joint_titles(joints: Sequence[PlannedJoint]) -> list[str]:
    """The headings of the joints' columns."""
    return [_(JOINTS[joint.joint]).format(width=figure(joint.least_width)) for joint in joints]


def sealant_rows(joints: Sequence[PlannedJoint]) -> list[dict[str, Any]]:
    """One row for each class of sealant: what it asks of every joint, and whether there is that."""
    classes = [answer.sealant_class for answer in joints[0].by_sealant_class] if joints else []
    return [
        {
            "sealant_class": figure(sealant_class),
            "joints": [_joint(joint.by_sealant_class[index]) for joint in joints],
        }
        for index, sealant_class in enumerate(classes)
    ]


def _joint(by_class: JointBySealant) -> dict[str, str]:
    least = max(by_class.by_movement, by_class.by_guidance)
    needs = _("needs {least} to {greatest} mm")
    if least > by_class.greatest:
        needs = _("needs {least} mm, beyond the greatest of {greatest} mm")
    return {
        "needs": needs.format(least=figure(least), greatest=figure(by_class.greatest)),
        "governed_by": _(GOVERNED_BY[by_class.governs]),
        "verdict": _(VERDICTS[by_class.verdict]),
        "seal_between": _sealed_between(by_class.seal_between),
    }


def _sealed_between(between: Temperatures | None) -> str:
    degrees = seal_between(between)
    if degrees is None:
        return ""
    lowest, highest = degrees
    return _("seal it at {lowest} to {highest} °C of the frame").format(
        lowest=lowest, highest=highest
    )


def running_gear_rows(gear: RunningGear) -> Pairs:
    """What a support can do, and what the gaps are held to."""
    differ = _("differ by at most {limit} mm").format(limit=figure(gear.tolerance))
    about = _("± {range} mm about its middle").format(range=figure(gear.adjustment_range))
    rows = [(_("Gaps at head and sill"), differ)]
    if gear.leaf_gap is not None and gear.together_tolerance is not None:
        together = _("twice {gap} mm, off by at most {limit} mm").format(
            gap=figure(gear.leaf_gap), limit=figure(gear.together_tolerance)
        )
        rows.append((_("Both gaps together"), together))
    rows += [
        (_("One turn lifts"), f"{figure(gear.lift_per_turn)} mm"),
        (_("Range of a support"), about),
    ]
    if gear.season and gear.leaf_gap is not None:
        rows.append((_("Closing gap to set"), _closing_gaps(gear, gear.leaf_gap, gear.season)))
    return rows


def _closing_gaps(gear: RunningGear, leaf_gap: float, season: SeasonRules) -> str:
    """At the temperatures of a working day; on site the page says it for the day's own."""
    answers = [
        closing_gap(gear.grows_along, leaf_gap, temperature, season)
        for temperature in WORKING_DAYS_C
    ]
    return ", ".join(
        _("{gap:.1f} mm at {temperature:g} C").format(
            gap=answer.gap_today, temperature=answer.temperature
        )
        for answer in answers
    )


def facts_of_visit(installation: PlannedInstallation, plan: FittingPlan) -> Iterator[str]:
    """What the crew should know before it starts."""
    closing = _("Closes and is locked at junction {junction}.")
    yield closing.format(junction=plan.closing_junction)
    keep = next((junction.number for junction in plan.junctions if junction.keep), None)
    if keep == 0:
        yield _("The keep at the left jamb comes off before that jamb is fixed.")
    elif keep is not None:
        yield _("The keep at the right jamb comes off before that jamb is fixed.")
    if plan.fit_decision is None:
        yield _("No fit was decided from a survey before removal: packers are made up on the day.")
    if installation.planned_from:
        yield _(PLANNED_FROM[installation.planned_from])
    if reason := installation.replanned_because:
        yield _("Planned again: {reason}").format(reason=translated(reason))
