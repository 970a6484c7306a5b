"""The fitting pack: what its record says, in words and drawings."""

from collections.abc import Iterator
from typing import Any

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
from jobs.drawings import Elevation, elevation_svg
from reports.papers.draft import Draft
from reports.papers.labels import doorset as doorset_labels
from reports.papers.labels import plan as plan_labels
from reports.papers.labels.job import each_once
from reports.papers.labels.steps import steps_in_words
from reports.papers.parts import SCHEME, SVG, Part


def fitting_pack(facts: dict[str, Any]) -> Draft:
    """From the record of `fitting_pack_record`."""
    installations = [
        one | {"plan": FITTING_PLAN.read(one["plan"])} for one in facts["installations"]
    ]
    shown = {
        "cautions": each_once(c for one in installations for c in one["plan"].cautions),
        "findings": list(_findings(installations)),
        "installations": [_installation(installation) for installation in installations],
    }
    parts = {
        name: Part(SVG, svg.encode())
        for installation in installations
        for name, svg, _ in _drawings(installation)
    }
    return Draft("reports/fitting_pack.html", shown, parts)


def _findings(installations: list[dict[str, Any]]) -> Iterator[dict[str, str]]:
    for installation in installations:
        where = f"opening {installation['opening']['number']}"
        yield from (finding | {"where": where} for finding in installation["findings"])


def _installation(installation: dict[str, Any]) -> dict[str, Any]:
    """The record of an installation with everything that its pages say of it."""
    plan: FittingPlan = installation["plan"]
    number = installation["opening"]["number"]
    drawn = {
        name.removesuffix(f"-{number}"): {"address": f"{SCHEME}{name}", "words": words}
        for name, _, words in _drawings(installation)
    }
    return installation | {
        "drawn": drawn,
        "order_in_words": doorset_labels.order_in_words(installation),
        "facts": list(plan_labels.facts_of_visit(installation)),
        "lifts": plan_labels.lifts_in_words(plan.lifts),
        "lift_cautions": each_once(plan_labels.lift_cautions(plan.lifts)),
        "phases": steps_in_words(installation["steps"]),
        "members": [
            plan_labels.member_in_words(member, plan.substrates)
            | {"title": DrawnMember.read(member).title, "drawing": drawn[member.name]}
            for member in plan.fixing_layout.members
        ],
        "glazing": plan_labels.glazing_in_words(plan),
        "brace": plan_labels.BRACES[plan.glazing.brace],
        "block_length": plan_labels.block_length(plan),
        "sealants": plan_labels.joints_in_words(plan.joints),
        "no_sealant_will_do": plan_labels.no_sealant_will_do(plan.joints),
        "sealant_cautions": SEALANT_CAUTIONS,
        "gear": plan_labels.running_gear_in_words(plan.running_gear),
        "chains": [
            {"jamb": chain.jamb, "drawing": drawn[f"chain-{chain.jamb}"]}
            for chain in plan.running_gear.chains
        ],
    }


def _drawings(installation: dict[str, Any]) -> Iterator[tuple[str, str, str]]:
    """Name, SVG and words of every drawing of an installation."""
    number, plan = installation["opening"]["number"], installation["plan"]
    elevation = Elevation.read(installation["elevation"])
    yield f"elevation-{number}", elevation_svg(elevation), elevation.in_words
    members = [DrawnMember.read(member) for member in plan.fixing_layout.members]
    longest = max(member.length for member in members)
    for member in members:
        yield f"{member.name}-{number}", member_svg(member, longest), member.in_words
    glazed = GlazedDoorset.read(plan.leaves, plan.glazing, elevation)
    yield f"glazing-{number}", glazing_svg(glazed), glazed.in_words
    for chain in map(DrawnChain.read, plan.running_gear.chains):
        yield f"chain-{chain.jamb}-{number}", chain_svg(chain), chain.in_words
