"""How wide the joint at the ends of a frame member must be for what heat and cold do to it.

Two rules meet here and may disagree. The movement rule: movement = alpha L dT, shared by the ends
that are free, and a joint at least movement x 100 / movement accommodation factor wide
(conservative form: plus the movement itself). The guidance: a gap per side by the width of the
opening. Both are answered, with which of them governs. Sources: EN 1999-1-1 and others for alpha,
BS 6213 and ISO 11600 for the joint (from memory), a new-home warranty technical note for the gaps.
Lengths in mm, temperatures in K.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from jobs.arithmetic.errors import UnusableInput
from jobs.sentences import StoredSentence, sentence

Material = Literal["aluminium", "pvc_u_white", "pvc_u_coloured", "timber"]
Wall = Literal["porous", "smooth"]
Verdict = Literal["sufficient", "too_narrow", "too_wide"]
Governs = Literal["movement", "guidance"]
CAUTIONS = (
    sentence("Sealants and primers give off vapours: air the room, wear gloves, keep flames away."),
    sentence("The sealant's own data sheet decides its movement class on these two surfaces."),
)
POROUS_TOO_DEEP = StoredSentence(
    "a porous wall asks for {least:g} mm of depth, more than the joint's own {width:g} mm; ask the "
    "maker of the sealant"
)
SMOOTH_TOO_DEEP = StoredSentence(
    "a smooth wall asks for {least:g} mm of depth, more than the joint's own {width:g} mm; ask the "
    "maker of the sealant"
)


@dataclass(frozen=True, slots=True)
class GapBand:
    """Gap per side, mm, for openings up to `widest` mm."""

    widest: float
    per_side: float


@dataclass(frozen=True, slots=True)
class GreatestGap:
    """Greatest gap per side, mm, for openings from `narrowest` mm."""

    narrowest: float
    per_side: float


@dataclass(frozen=True, slots=True)
class JointRules:
    """`expansion` in 1/K and `gaps` by material; depths of sealant in mm by kind of wall, and one
    that counts wherever the joint is wider than `backed_from`."""

    expansion: Mapping[Material, float]
    gaps: Mapping[Material, Sequence[GapBand]]
    greatest: Sequence[GreatestGap]
    least_depth: Mapping[Wall, float]
    backed_from: float
    backed_depth: float
    depth_share: float
    expansion_sources: Mapping[Material, str]
    sources: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class JointRequest:
    """`temperature_range`: warmest less coldest of the member, K; `movement_accommodation`: the
    number of the sealant's class, percent. `free_ends`: how many ends of the member can move, so
    how many joints share the movement. The guidance goes by `opening_width`, by default the length
    of the member itself.
    """

    member_length: float
    material: Material
    temperature_range: float
    movement_accommodation: float
    joint_width: float
    wall: Wall = "porous"
    free_ends: Literal[1, 2] = 2
    opening_width: float | None = None


@dataclass(frozen=True, slots=True)
class SmallestJoint:
    """mm: by the plain movement rule, by its conservative form, and by the guidance."""

    by_movement: float
    by_movement_conservative: float
    by_guidance: float


@dataclass(frozen=True, slots=True)
class SealantDepth:
    """mm; `width_to_depth` is None for a joint without width. `conflict` says why no depth keeps
    to all that is asked, None where one does."""

    advised: float
    width_to_depth: float | None
    least: float
    greatest: float
    backing_strip: bool
    conflict: str | None


@dataclass(frozen=True, slots=True)
class JointAnswer:
    movement: float
    movement_per_end: float
    smallest_joint: SmallestJoint
    greatest_joint: float
    governs: Governs
    why: str
    verdict: Verdict
    conservative_holds: bool
    sealant_depth: SealantDepth
    warnings: tuple[str, ...]
    sources: tuple[str, ...]
    cautions: tuple[str, ...] = CAUTIONS


def judge_joint(request: JointRequest, rules: JointRules) -> JointAnswer:
    """Hold a joint at the end of a member against both rules. Raises `UnusableInput`."""
    _check(request)
    movement = thermal_movement(
        request.member_length, rules.expansion[request.material], request.temperature_range
    )
    per_end = movement / request.free_ends
    width = request.opening_width or request.member_length
    smallest = _smallest(request, per_end, width, rules)
    greatest = max(gap.per_side for gap in rules.greatest if width >= gap.narrowest)
    return JointAnswer(
        movement=movement,
        movement_per_end=per_end,
        smallest_joint=smallest,
        greatest_joint=greatest,
        governs="movement" if smallest.by_movement > smallest.by_guidance else "guidance",
        why=_why(smallest),
        verdict=_verdict(request.joint_width, smallest, greatest),
        conservative_holds=request.joint_width >= smallest.by_movement_conservative,
        sealant_depth=_depth(request, rules),
        warnings=_warnings(request, smallest, greatest),
        sources=(rules.expansion_sources[request.material], *rules.sources),
    )


def thermal_movement(length: float, expansion: float, temperature_range: float) -> float:
    """mm that a member of this length (mm) grows over the range (K); `expansion` in 1/K."""
    return expansion * length * temperature_range


def smallest_joint(movement: float, movement_accommodation: float) -> tuple[float, float]:
    """Joint in mm for a movement in mm: by the plain rule, and by its conservative form."""
    plain = movement * 100 / movement_accommodation
    return plain, plain + movement


def _check(request: JointRequest) -> None:
    for field in ("member_length", "movement_accommodation"):
        if getattr(request, field) <= 0:
            raise UnusableInput(f"/{field}", sentence("give more than 0"))
    for field in ("temperature_range", "joint_width"):
        if getattr(request, field) < 0:
            raise UnusableInput(f"/{field}", sentence("give 0 or more"))


def _smallest(
    request: JointRequest, per_end: float, width: float, rules: JointRules
) -> SmallestJoint:
    plain, conservative = smallest_joint(per_end, request.movement_accommodation)
    bands = rules.gaps[request.material]
    guidance = next(band.per_side for band in bands if width <= band.widest)
    return SmallestJoint(plain, conservative, guidance)


def _why(smallest: SmallestJoint) -> str:
    movement, guidance = smallest.by_movement, smallest.by_guidance
    if movement > guidance:
        return sentence(
            "The sealant takes this member's movement only in {movement:.1f} mm or more; the "
            "{guidance:g} mm of the guidance would overstretch it.",
            movement=movement,
            guidance=guidance,
        )
    return sentence(
        "The guidance asks for {guidance:g} mm; the movement alone would need only "
        "{movement:.1f} mm.",
        movement=movement,
        guidance=guidance,
    )


def _verdict(width: float, smallest: SmallestJoint, greatest: float) -> Verdict:
    if width < max(smallest.by_movement, smallest.by_guidance):
        return "too_narrow"
    return "too_wide" if width > greatest else "sufficient"


def _warnings(request: JointRequest, smallest: SmallestJoint, greatest: float) -> tuple[str, ...]:
    warnings = []
    if smallest.by_movement > greatest:
        warnings.append(
            sentence(
                "No joint satisfies both: the movement asks for {movement:.1f} mm and the guidance "
                "allows {greatest:g} mm. Take a sealant of a higher class, or fix the member so "
                "that it moves to one end that has room.",
                movement=smallest.by_movement,
                greatest=greatest,
            )
        )
    if request.joint_width < smallest.by_movement_conservative:
        warnings.append(
            sentence(
                "The conservative form, which refers the movement to the narrowed joint, asks for "
                "{width:.1f} mm.",
                width=smallest.by_movement_conservative,
            )
        )
    return tuple(warnings)


def _deeper_than_wide(wall: Wall) -> StoredSentence:
    return POROUS_TOO_DEEP if wall == "porous" else SMOOTH_TOO_DEEP


def _depth(request: JointRequest, rules: JointRules) -> SealantDepth:
    """Half as deep as wide, not under what the surfaces need and never over the width."""
    width = request.joint_width
    backed = width > rules.backed_from
    least = max(rules.least_depth[request.wall], rules.backed_depth if backed else 0.0)
    conflict = None
    if least > width:
        conflict = _deeper_than_wide(request.wall)(least=least, width=width)
    advised = min(width, max(least, width * rules.depth_share))
    ratio = width / advised if advised else None
    return SealantDepth(advised, ratio, least, width, backed, conflict)
