"""From a rule set to what lifts, joints and glazing are held to."""

from typing import get_args

from installs.arithmetic.access import AccessRules
from installs.arithmetic.glazing_plan import BlockRules
from installs.arithmetic.joint_movement import (
    FrameMovement,
    GapBand,
    GreatestGap,
    JointRules,
    Material,
    Temperatures,
)
from installs.arithmetic.kit import Hold, KitRules
from installs.arithmetic.lift import ZONES, FilterFigures, LiftRules
from installs.arithmetic.packed_members import MemberLimits
from installs.arithmetic.packers import AdviceRules
from installs.arithmetic.season import SeasonRules
from installs.arithmetic.sill_supports import SupportRules
from installs.plan.limits import plumb_or_level, plumb_or_level_source
from jobs.rules import Rules
from jobs.sentences import sentence
from surveys.services.way_in import way_rules


def lift_rules(rules: Rules) -> LiftRules:
    """Filter figures in kg by zone of the hands, and the shares of a team."""
    return LiftRules(
        figures={zone: FilterFigures(*rules[f"lift.{zone}"]) for zone in ZONES},
        team_shares=tuple(over / under for over, under in rules["lift.team_shares"]),
        sources=(
            rules.source("lift.elbow_to_knuckle", *(f"lift.{zone}" for zone in ZONES)),
            rules.source("lift.team_shares"),
        ),
    )


def access_rules(rules: Rules) -> AccessRules:
    """What a way in is judged by: mm, degrees and m."""
    return AccessRules(
        way=way_rules(rules),
        largest_team=len(rules["lift.team_shares"]),
        rise=rules["access.step_rise"],
        pitch=rules["access.step_pitch"],
        without_rest=rules["access.carry_without_rest"],
        sources=(
            sentence("hand room: {source}", source=rules.source("access.hand_room")),
            sentence("lean: {source}", source=rules.source("access.greatest_lean")),
            sentence(
                "steps: {source}", source=rules.source("access.step_pitch", "access.step_rise")
            ),
            sentence("distance: {source}", source=rules.source("access.carry_without_rest")),
        ),
    )


def joint_rules(rules: Rules) -> JointRules:
    """Expansion by material, gaps by the width of the opening, depths of sealant; 1/K and mm."""
    materials: tuple[Material, ...] = get_args(Material)
    greatest = [GreatestGap(*row) for row in rules["joint.greatest"]]
    return JointRules(
        expansion={material: rules[f"movement.{_plain(material)}"] for material in materials},
        frames={
            material: FrameMovement(
                rules[f"movement.change_{material}"], *rules[f"movement.temperatures_{material}"]
            )
            for material in materials
        },
        sealed_at=Temperatures(*rules["sealant.applied_at"]),
        gaps={
            material: [GapBand(*row) for row in rules[f"clearance.{material}"]]
            for material in materials
        },
        greatest=greatest,
        least_depth={
            "porous": rules["sealant.depth_porous"],
            "smooth": rules["sealant.depth_smooth"],
        },
        backed_from=rules["sealant.backed_from"],
        backed_depth=rules["sealant.backed_depth"],
        depth_share=rules["sealant.depth_share"],
        expansion_sources={
            material: sentence(
                "expansion: {source}", source=rules.source(f"movement.{_plain(material)}")
            )
            for material in materials
        },
        frame_sources={material: _frame_sources(material, rules) for material in materials},
        sources=_joint_sources(rules),
    )


def block_rules(rules: Rules) -> BlockRules:
    """Lengths of glazing blocks and how far from a corner they begin, mm."""
    return BlockRules(
        per_m2=rules["blocks.per_m2"],
        least=rules["blocks.least"],
        from_corner=rules["blocks.from_corner"],
        sources=tuple(
            f"{name}: {rules.source(f'blocks.{name}')}"
            for name in ("per_m2", "least", "from_corner")
        ),
    )


def advice_rules(rules: Rules) -> AdviceRules:
    """What a crew carries, how a changed packer seats, and how sure is sure enough."""
    return AdviceRules(
        thicknesses=tuple(float(mm) for mm in rules["packers.thicknesses"]),
        slack=float(rules["packers.slack"]),
        confidence=float(rules["packers.sure_enough"]),
    )


def member_limits(length: float, rules: Rules) -> MemberLimits:
    """What a member of the frame of this length is held to, mm."""
    by_length = plumb_or_level(length, rules)
    return MemberLimits(
        plumb=by_length,
        level=by_length,
        bow=float(rules["frame.bow"]),
        diagonal=float(rules["frame.diagonal_difference"]),
    )


def member_limit_sources(rules: Rules) -> dict[str, str]:
    """Where each limit of a member comes from, by its name."""
    by_length = plumb_or_level_source(rules)
    return {
        "plumb": by_length,
        "level": by_length,
        "bow": rules.source("frame.bow"),
        "diagonal": rules.source("frame.diagonal_difference"),
    }


def season_rules(rules: Rules, material: str, *, reinforced: bool = False) -> SeasonRules:
    """What leaves of a material (`pvc_u_white`, say) do between the coldest and the hottest;
    `reinforced` by steel, which holds PVC-U."""
    expansion = f"movement.{_plain(material)}"
    if reinforced and expansion == "movement.pvc_u":
        expansion = "movement.pvc_u_reinforced"
    return SeasonRules(
        expansion=rules[expansion],
        coldest=rules["season.coldest"],
        hottest=rules["season.hottest"],
        least_gap=rules["season.least_gap"],
        seal_reach=rules["season.seal_reach"],
        asked_from=rules["season.asked_from"],
        source=rules.source(
            expansion,
            "season.coldest",
            "season.hottest",
            "season.least_gap",
            "season.seal_reach",
        ),
    )


def support_rules(rules: Rules) -> SupportRules:
    """Where a sill is packed under what it carries, mm."""
    return SupportRules(
        from_end=float(rules["sill.support_from_end"]),
        spacing=float(rules["sill.support_spacing"]),
        beside=float(rules["sill.support_beside"]),
    )


def support_source(rules: Rules) -> str:
    named = ("sill.support_spacing", "sill.support_from_end", "sill.support_beside")
    return sentence("supports of the sill: {source}", source=rules.source(*named))


def kit_rules(rules: Rules) -> KitRules:
    """Lengths that screws are sold in, and how they are held by the kind of wall; mm."""
    embedment, edge = dict(rules["fixing.embedment"]), dict(rules["fixing.edge_distance"])
    holds = {wall: Hold(depth, edge[wall]) for wall, depth in embedment.items() if wall in edge}
    return KitRules(tuple(rules["fixing.screw_lengths"]), holds)


def kit_sources(rules: Rules) -> tuple[str, ...]:
    named = ("embedment", "edge_distance", "screw_lengths")
    return tuple(f"{name}: {rules.source(f'fixing.{name}')}" for name in named)


def _plain(material: str) -> str:
    """PVC-U of any colour expands alike; its colour decides how warm it gets."""
    return "pvc_u" if material.startswith("pvc_u") else material


def _frame_sources(material: Material, rules: Rules) -> tuple[str, ...]:
    change, between = f"movement.change_{material}", f"movement.temperatures_{material}"
    return (
        sentence("change of length: {source}", source=rules.source(change)),
        sentence("temperatures of the frame: {source}", source=rules.source(between)),
    )


def _joint_sources(rules: Rules) -> tuple[str, ...]:
    named = (
        "clearance.aluminium",
        "joint.greatest",
        "sealant.classes",
        "sealant.applied_at",
        "sealant.depth_porous",
        "sealant.backed_depth",
    )
    sources = (f"{name}: {rules.source(name)}" for name in named)
    return (sentence("BS 6213:2000, conservative width of a sealed joint"), *sources)
