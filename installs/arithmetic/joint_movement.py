"""How wide the joint at the ends of a frame member must be for what heat and cold do to it.

Two rules meet here and may disagree. The movement rule: what a frame of the material is known to
change by between its coldest and its warmest, or alpha L dT where a range is given, shared by the
ends that are free. From the temperature at which it is sealed follows how much of that is still to
come: the joint closes as the frame warms, and opens as it cools. The class of a sealant is how far
it takes either, in percent of the joint as it was sealed (ISO 11600:2002 table 1, amplitudes each
way, from memory), so a joint is at least the greater of both x 100 / class. The conservative form
takes the class for the whole movement, to and fro, of the narrowest joint (BS 6213, from memory).
The guidance: a gap per side by the width of the opening. Both are answered, with which of them
governs. Lengths in mm, temperatures in C, differences in K.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import ceil, floor
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
class FrameMovement:
    """How a frame changes from its coldest to its warmest, C, in mm for each metre; its
    temperature is the mean of its outer and its inner face."""

    change: float
    coldest: float
    warmest: float


@dataclass(frozen=True, slots=True)
class Temperatures:
    """C."""

    lowest: float
    highest: float


@dataclass(frozen=True, slots=True)
class JointRules:
    """`expansion` in 1/K, `frames` and `gaps` by material; `sealed_at`: of a frame while sealants
    are applied; depths of sealant in mm by kind of wall, and one that counts wherever the joint is
    wider than `backed_from`."""

    expansion: Mapping[Material, float]
    frames: Mapping[Material, FrameMovement]
    sealed_at: Temperatures
    gaps: Mapping[Material, Sequence[GapBand]]
    greatest: Sequence[GreatestGap]
    least_depth: Mapping[Wall, float]
    backed_from: float
    backed_depth: float
    depth_share: float
    expansion_sources: Mapping[Material, str]
    frame_sources: Mapping[Material, tuple[str, ...]]
    sources: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class JointRequest:
    """`temperature_range`: warmest less coldest of the member, K; None for what frames of the
    material are known to do. `movement_accommodation`: the number of the sealant's class, percent.
    `free_ends`: how many ends of the member can move, so how many joints share the movement. The
    guidance goes by `opening_width`, by default the length of the member itself.
    `installation_temperature`: of the frame while it is sealed, C; None takes all of the movement
    to be still to come, either way.
    """

    member_length: float
    material: Material
    temperature_range: float | None
    movement_accommodation: float
    joint_width: float
    wall: Wall = "porous"
    free_ends: Literal[1, 2] = 2
    opening_width: float | None = None
    installation_temperature: float | None = None


@dataclass(frozen=True, slots=True)
class Movement:
    """What comes to one joint, mm: the whole of it, and what is still to close and to open it from
    where it is sealed; the temperatures of the frame that it goes with."""

    whole: float
    closing: float
    opening: float
    temperatures: Temperatures


@dataclass(frozen=True, slots=True)
class SmallestJoint:
    """mm: by the movement still to come, by its conservative form, and by the guidance."""

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
    """`movement` of the member, mm, from its coldest to its warmest; of what comes to one joint,
    `movement_closing` and `movement_opening` are still to come once it is sealed. `seal_between`:
    the temperatures of the frame at which this sealant may be applied in this joint; None where
    there are none."""

    movement: float
    movement_per_end: float
    movement_closing: float
    movement_opening: float
    temperatures: Temperatures
    seal_between: Temperatures | None
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
    movement = _movement(request, rules)
    width = request.opening_width or request.member_length
    smallest = _smallest(request, movement, width, rules)
    greatest = max(gap.per_side for gap in rules.greatest if width >= gap.narrowest)
    seal_between = _seal_between(request, movement, rules)
    return JointAnswer(
        movement=movement.whole * request.free_ends,
        movement_per_end=movement.whole,
        movement_closing=movement.closing,
        movement_opening=movement.opening,
        temperatures=movement.temperatures,
        seal_between=seal_between,
        smallest_joint=smallest,
        greatest_joint=greatest,
        governs="movement" if smallest.by_movement > smallest.by_guidance else "guidance",
        why=_why(smallest),
        verdict=_verdict(request.joint_width, smallest, greatest),
        conservative_holds=request.joint_width >= smallest.by_movement_conservative,
        sealant_depth=_depth(request, rules),
        warnings=(
            *_warnings(request, smallest, greatest),
            *_when_to_seal(request, smallest, seal_between, rules.sealed_at),
        ),
        sources=(*_movement_sources(request, rules), *rules.sources),
    )


def kindest_temperature(material: Material, rules: JointRules) -> float:
    """The temperature of the frame, C, at which sealing it leaves as much to close as to open, or
    the nearest at which sealants are applied."""
    frame, sealed_at = rules.frames[material], rules.sealed_at
    middle = (frame.coldest + frame.warmest) / 2
    return min(max(middle, sealed_at.lowest), sealed_at.highest)


def thermal_movement(length: float, expansion: float, temperature_range: float) -> float:
    """mm that a member of this length (mm) grows over the range (K); `expansion` in 1/K."""
    return expansion * length * temperature_range


def smallest_joint(movement: float, movement_accommodation: float) -> float:
    """Joint in mm for a movement in mm that the sealant takes by its class, percent."""
    return movement * 100 / movement_accommodation


def _movement(request: JointRequest, rules: JointRules) -> Movement:
    """A range that is given lies about the middle of what frames of the material go through."""
    frame = rules.frames[request.material]
    coldest, warmest = frame.coldest, frame.warmest
    movement = frame.change * request.member_length / 1000
    if request.temperature_range is not None:
        half = request.temperature_range / 2
        coldest, warmest = (coldest + warmest) / 2 - half, (coldest + warmest) / 2 + half
        movement = thermal_movement(
            request.member_length, rules.expansion[request.material], request.temperature_range
        )
    whole = movement / request.free_ends
    closing = opening = whole
    sealed_at = request.installation_temperature
    if sealed_at is not None and warmest > coldest:
        share = (min(max(sealed_at, coldest), warmest) - coldest) / (warmest - coldest)
        closing, opening = whole * (1 - share), whole * share
    return Movement(whole, closing, opening, Temperatures(coldest, warmest))


def _seal_between(
    request: JointRequest, movement: Movement, rules: JointRules
) -> Temperatures | None:
    """Where neither closing nor opening is more than the sealant takes of this joint."""
    lowest, highest = rules.sealed_at.lowest, rules.sealed_at.highest
    taken = request.joint_width * request.movement_accommodation / 100
    if movement.whole > taken:
        frame = movement.temperatures
        reach = (frame.highest - frame.lowest) * taken / movement.whole
        lowest, highest = (
            max(lowest, frame.highest - reach),
            min(highest, frame.lowest + reach),
        )
    return Temperatures(lowest, highest) if lowest <= highest else None


def _movement_sources(request: JointRequest, rules: JointRules) -> tuple[str, ...]:
    if request.temperature_range is None:
        return rules.frame_sources[request.material]
    return (rules.expansion_sources[request.material],)


def _check(request: JointRequest) -> None:
    for field in ("member_length", "movement_accommodation"):
        if getattr(request, field) <= 0:
            raise UnusableInput(f"/{field}", sentence("give more than 0"))
    for field in ("temperature_range", "joint_width"):
        if (getattr(request, field) or 0) < 0:
            raise UnusableInput(f"/{field}", sentence("give 0 or more"))


def _smallest(
    request: JointRequest, movement: Movement, width: float, rules: JointRules
) -> SmallestJoint:
    one_way = max(movement.closing, movement.opening)
    plain = smallest_joint(one_way, request.movement_accommodation)
    to_and_fro = smallest_joint(movement.whole, request.movement_accommodation)
    conservative = to_and_fro + movement.closing
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
                "The conservative form, which takes the class for the whole movement of the "
                "narrowed joint, asks for {width:.1f} mm.",
                width=smallest.by_movement_conservative,
            )
        )
    return tuple(warnings)


def _when_to_seal(
    request: JointRequest,
    smallest: SmallestJoint,
    between: Temperatures | None,
    sealed_at: Temperatures,
) -> Iterator[str]:
    sealed = request.installation_temperature
    if between and request.joint_width < smallest.by_movement:
        yield sentence(
            "At this width the sealant takes the movement only where it is applied while the frame "
            "is at {lowest:.0f} to {highest:.0f} °C.",
            lowest=ceil(between.lowest),
            highest=floor(between.highest),
        )
    if sealed is not None and not sealed_at.lowest <= sealed <= sealed_at.highest:
        yield sentence(
            "Most sealants are applied at {lowest:g} to {highest:g} °C: see the data sheet.",
            lowest=sealed_at.lowest,
            highest=sealed_at.highest,
        )


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
