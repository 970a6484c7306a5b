"""The fitting pack: what its record says, as labels and drawings."""

from collections.abc import Iterable, Iterator
from typing import Any

from django.utils.translation import gettext as _

from installs.arithmetic.holding import SOURCE as HOLD_SOURCE
from installs.arithmetic.joint_movement import CAUTIONS as SEALANT_CAUTIONS
from installs.drawings import (
    DrawnChain,
    DrawnMember,
    GlazedDoorset,
    chain_svg,
    glazing_svg,
    member_svg,
)
from installs.frozen import FITTING_PLAN, FittingPlan
from installs.sealant_judgement import NO_CLASS_DOES, classes_that_do
from jobs.drawings import elevation_svg
from jobs.translation import translated
from reports.papers.draft import Draft, labelled
from reports.papers.frozen.papers import FittingPackRecord, PlannedInstallation
from reports.papers.labels import doorset as doorset_labels
from reports.papers.labels import plan as plan_labels
from reports.papers.labels.job import each_once, finding_label
from reports.papers.labels.steps import phases
from reports.papers.parts import SCHEME, SVG, Part
from surveys.plan_drawing import plan_svg, stack_label


def fitting_pack(facts: FittingPackRecord) -> Draft:
    """From the record of `fitting_pack_record`."""
    planned = [
        (installation, FITTING_PLAN.read(installation.plan)) for installation in facts.installations
    ]
    context = {
        "cautions": each_once(caution for _, plan in planned for caution in plan.cautions),
        "findings": list(_findings(facts.installations)),
        "installations": [_installation(*pair) for pair in planned],
    }
    parts = {
        name: Part(SVG, svg.encode()) for pair in planned for name, svg, _alt in _drawings(*pair)
    }
    return Draft("reports/fitting_pack.html", context, parts)


def _findings(installations: Iterable[PlannedInstallation]) -> Iterator[dict[str, str]]:
    for installation in installations:
        where = _("Opening {number}").format(number=installation.opening.number)
        yield from (finding_label(finding) | {"where": where} for finding in installation.findings)


def _installation(installation: PlannedInstallation, plan: FittingPlan) -> dict[str, Any]:
    """The record of an installation with everything that its pages say of it."""
    number = installation.opening.number
    drawn = {
        name.removesuffix(f"-{number}"): {"address": f"{SCHEME}{name}", "alt": translated(alt)}
        for name, _svg, alt in _drawings(installation, plan)
    }
    labels = {
        "plan": plan,
        "drawn": drawn,
        "stacks": _stacks(installation),
        "order_rows": doorset_labels.order_rows(installation),
        "facts": list(plan_labels.facts_of_visit(installation, plan)),
        "lifts": plan_labels.lift_rows(plan.lifts),
        "access": plan_labels.access_label(plan.lifts.access),
        "hold_source": HOLD_SOURCE,
        "lift_cautions": each_once(plan_labels.lift_cautions(plan.lifts)),
        "phases": phases(installation.steps),
        "members": [
            plan_labels.member_labels(member, plan.substrates)
            | {"title": translated(DrawnMember.read(member).title), "drawing": drawn[member.name]}
            for member in plan.fixing_layout.members
        ],
        "kit": list(plan_labels.kit_rows(plan.kit)) if plan.kit else [],
        "glazing": plan_labels.glazing_rows(plan),
        "brace": _(plan_labels.BRACES[plan.glazing.brace]),
        "block_length": plan_labels.block_length(plan),
        "joint_titles": plan_labels.joint_titles(plan.joints),
        "sealants": plan_labels.sealant_rows(plan.joints),
        "no_sealant_will_do": "" if classes_that_do(plan.joints) else NO_CLASS_DOES,
        "sealant_cautions": SEALANT_CAUTIONS,
        "gear": plan_labels.running_gear_rows(plan.running_gear),
        "chains": [
            {"title": _(plan_labels.CHAINS[chain.jamb]), "drawing": drawn[f"chain-{chain.jamb}"]}
            for chain in plan.running_gear.chains
        ],
    }
    return labelled(installation, labels)


def _stacks(installation: PlannedInstallation) -> list[str]:
    """Where the folded leaves stand, in words."""
    above = installation.seen_from_above
    return [stack_label(stack) for stack in above.stacks] if above else []


def _drawings(
    installation: PlannedInstallation, plan: FittingPlan
) -> Iterator[tuple[str, str, str]]:
    """Name, SVG and alternative text of every drawing of an installation."""
    number, elevation = installation.opening.number, installation.elevation
    yield f"elevation-{number}", elevation_svg(elevation), elevation.description
    if above := installation.seen_from_above:
        yield f"above-{number}", plan_svg(above), above.description
    members = [DrawnMember.read(member) for member in plan.fixing_layout.members]
    longest = max(member.length for member in members)
    for member in members:
        yield f"{member.name}-{number}", member_svg(member, longest), member.description
    glazed = GlazedDoorset.read(plan.leaves, plan.glazing, elevation)
    yield f"glazing-{number}", glazing_svg(glazed), glazed.description
    for chain in map(DrawnChain.read, plan.running_gear.chains):
        yield f"chain-{chain.jamb}-{number}", chain_svg(chain), chain.description
