"""The doorset: leaf sizes, masses, limits, glass safety and thermal transmittance of one order."""

from dataclasses import dataclass
from math import floor, fsum
from typing import Literal

from jobs.arithmetic.errors import UnusableInput
from jobs.arithmetic.fold import Fold, FoldedLeaf, Junction
from jobs.arithmetic.glass_safety import GlassFinding, GlassSafetyRules, judge_glass
from jobs.arithmetic.glazing import Glazing
from jobs.arithmetic.thermal import Edge, Part, doorset_u_value, glazing_u_value
from jobs.sentences import sentence

Sashes = Literal["hung", "loose"]
"""How sashes come: hung in the frame, or loose beside it."""
Glass = Literal["loose", "fitted"]
"""How glass comes: to be glazed on site, or fitted in its sash, hung or loose."""
FINEST_MM = 6
"""Decimals of a mm that are kept, so that binary fractions never decide at a limit."""
SOURCES = (
    sentence("fold and chains: common practice, no source"),
    sentence("glass mass: EN 572-1, density 2500 kg/m3"),
    sentence(
        "centre-pane U: EN 673:2011 with normal emissivities corrected by EN 12898:2019, unless it "
        "is declared"
    ),
    sentence("doorset U: EN ISO 10077-1:2017, 6.4.2"),
)
CAUTIONS = (
    sentence("Masses are worked out, not weighed: plan the lift for more and never lift alone."),
    sentence("Wear cut-resistant gloves and eye protection when handling glass."),
    sentence("An open sash overbalances: support it until the running gear is set."),
    sentence("Toughened or laminated is no class of impact: the marking of each pane shows that."),
)


@dataclass(frozen=True, slots=True)
class Size:
    """mm."""

    width: float
    height: float


@dataclass(frozen=True, slots=True)
class ProfileData:
    """What leaf sizes follow from: mm, kg, kg/m, W/(m2 K), W/(m K).

    Where a system says nothing, its sashes come hung and unglazed.
    """

    frame_face: float
    sash_face: float
    leaf_gap: float
    glass_edge_cover: float
    frame_mass_per_metre: float
    sash_mass_per_metre: float
    hardware_mass_per_leaf: float
    largest_leaf_width: float
    largest_leaf_height: float
    largest_leaf_mass: float
    carrier_adjustment_range: float
    lift_per_turn: float
    removable_track_end: float
    head_fixing: tuple[str, ...]
    toe_and_heel_device: bool
    frame_u: float
    psi: float
    sashes: Sashes = "hung"
    glass: Glass = "loose"
    frame_depth: float | None = None


@dataclass(frozen=True, slots=True)
class DoorsetRules:
    """Limits of a rule set, each with its source: U in W/(m2 K), upstand in mm."""

    u_value: float
    u_value_source: str
    upstand: float
    upstand_source: str
    glass: GlassSafetyRules


@dataclass(frozen=True, slots=True)
class DoorsetRequest:
    """`upstand` of the threshold in mm above the finished floor, where it is known."""

    frame: Size
    fold: Fold
    opens: Literal["out", "in"]
    profile_system: ProfileData
    glazing: Glazing
    upstand: float | None = None


@dataclass(frozen=True, slots=True)
class Leaf:
    """Sizes in mm, masses in kg; `hinge_side` is the side that carries the leaf.

    `lifted_mass` is the sash as it comes: its profiles and hardware, with its glass where that
    comes fitted. `mass` is the leaf at work, glass and all.
    """

    number: int
    width: float
    height: float
    glass_width: float
    glass_height: float
    glass_mass: float
    mass: float
    lifted_mass: float
    hinge_side: str
    carrier: bool
    access_leaf: bool


@dataclass(frozen=True, slots=True)
class BrokenLimit:
    """A limit of the profile system that a leaf goes beyond."""

    leaf: int
    what: str
    value: float
    limit: float
    unit: str


@dataclass(frozen=True, slots=True)
class Finding:
    """A figure against a limit of the rule set; `within` says whether it keeps to it."""

    value: float
    limit: float
    unit: str
    within: bool
    source: str


@dataclass(frozen=True, slots=True)
class Thermal:
    """W/(m2 K), `limit` against the reported figure; `glazed_share` of the whole face. Figures that
    are reported are rounded as their standards ask; nothing is worked out from them."""

    u_value: float
    u_value_reported: float
    u_glass: float
    u_glass_reported: float
    glazed_share: float
    limit: float
    within: bool
    source: str


@dataclass(frozen=True, slots=True)
class DoorsetAnswer:
    """Masses in kg: `mass` of the finished doorset, `frame_mass` of the frame's profiles alone,
    `lifted_mass` of the frame as a crew lifts it in.

    Where sashes come hung, `lifted_mass` holds every leaf's `lifted_mass` too. Where they come
    loose it is the frame alone: glass that comes fitted is then in the loose sashes, and lifted
    with each of them. `sashes` and `glass` say which case it is.
    """

    leaves: tuple[Leaf, ...]
    junctions: tuple[Junction, ...]
    keep_jamb: str | None
    mass: float
    frame_mass: float
    lifted_mass: float
    sashes: Sashes
    glass: Glass
    broken_limits: tuple[BrokenLimit, ...]
    safety_glazing: tuple[GlassFinding, ...]
    upstand: Finding | None
    thermal: Thermal
    sources: tuple[str, ...]
    cautions: tuple[str, ...]


def work_out_doorset(request: DoorsetRequest, rules: DoorsetRules) -> DoorsetAnswer:
    """Work out one order. Raises `UnusableInput` where the frame cannot hold its leaves."""
    _check_profile(request.profile_system)
    widths = leaf_widths(request.frame.width, request.fold.leaves, request.profile_system)
    height = leaf_height(request.frame.height, request.profile_system)
    leaves = tuple(
        _leaf(folded, width, height, request)
        for folded, width in zip(request.fold.folded_leaves(), widths, strict=True)
    )
    system = request.profile_system
    frame_mass = 2 * (request.frame.width + request.frame.height) / 1000
    frame_mass *= system.frame_mass_per_metre
    hung = leaves if system.sashes == "hung" else ()
    return DoorsetAnswer(
        leaves=leaves,
        junctions=request.fold.junctions(),
        keep_jamb=request.fold.keep_jamb,
        mass=fsum([frame_mass, *(leaf.mass for leaf in leaves)]),
        frame_mass=frame_mass,
        lifted_mass=fsum([frame_mass, *(leaf.lifted_mass for leaf in hung)]),
        sashes=system.sashes,
        glass=system.glass,
        broken_limits=tuple(broken for leaf in leaves for broken in _broken(leaf, system)),
        safety_glazing=tuple(_glass_finding(leaf, request, rules) for leaf in leaves),
        upstand=_upstand(request.upstand, rules),
        thermal=_thermal(leaves, request, rules),
        sources=SOURCES,
        cautions=CAUTIONS,
    )


def leaf_widths(frame_width: float, leaves: int, system: ProfileData) -> list[float]:
    """Widths in mm, equal to a tenth; the first leaves take the tenths that are left over, the
    first one also what is finer than a tenth.

    Leaves, gaps and both frame faces add up to the frame width exactly.
    """
    clear = round(frame_width - 2 * system.frame_face - (leaves + 1) * system.leaf_gap, FINEST_MM)
    tenths = floor(round(10 * clear, 5))
    finer = round(clear - tenths / 10, FINEST_MM)
    share, left_over = divmod(tenths, leaves)
    narrowest = share / 10
    if narrowest <= 2 * system.sash_face:
        # A tenth of glass in each leaf, and the gaps and faces round them all.
        least = leaves * (2 * system.sash_face + 0.1 + system.leaf_gap)
        least += 2 * system.frame_face + system.leaf_gap
        raise UnusableInput(
            "/frame/width",
            sentence(
                "{width:g} mm cannot hold {leaves} leaves; give {least:g} or more",
                width=frame_width,
                leaves=leaves,
                least=least,
            ),
        )
    widths = [(share + (1 if index < left_over else 0)) / 10 for index in range(leaves)]
    return [round(widths[0] + finer, FINEST_MM), *widths[1:]]


def leaf_height(frame_height: float, system: ProfileData) -> float:
    """Height in mm that the frame leaves to each leaf."""
    height = round(frame_height - 2 * (system.frame_face + system.leaf_gap), FINEST_MM)
    if height <= 2 * system.sash_face:
        least = 2 * (system.frame_face + system.leaf_gap + system.sash_face)
        raise UnusableInput(
            "/frame/height",
            sentence(
                "{height:g} mm leaves no room for a sash; give over {least:g}",
                height=frame_height,
                least=least,
            ),
        )
    return height


def _check_profile(system: ProfileData) -> None:
    if system.glass_edge_cover > system.sash_face:
        raise UnusableInput(
            "/profile_system/glass_edge_cover",
            sentence(
                "{cover:g} mm reaches past the sash; give at most its face, {face:g} mm",
                cover=system.glass_edge_cover,
                face=system.sash_face,
            ),
        )


def _leaf(folded: FoldedLeaf, width: float, height: float, request: DoorsetRequest) -> Leaf:
    system = request.profile_system
    rebate = 2 * (system.sash_face - system.glass_edge_cover)
    glass_width, glass_height = round(width - rebate, FINEST_MM), round(height - rebate, FINEST_MM)
    glass_mass = glass_width * glass_height / 1e6 * request.glazing.mass_per_m2()
    sash_mass = 2 * (width + height) / 1000 * system.sash_mass_per_metre
    sash_mass += system.hardware_mass_per_leaf
    return Leaf(
        number=folded.number,
        width=width,
        height=height,
        glass_width=glass_width,
        glass_height=glass_height,
        glass_mass=glass_mass,
        mass=glass_mass + sash_mass,
        lifted_mass=sash_mass + (glass_mass if system.glass == "fitted" else 0.0),
        hinge_side=folded.carried_on,
        carrier=folded.brings_carrier,
        access_leaf=folded.access_leaf,
    )


def _broken(leaf: Leaf, system: ProfileData) -> list[BrokenLimit]:
    figures = (
        ("width", leaf.width, system.largest_leaf_width, "mm"),
        ("height", leaf.height, system.largest_leaf_height, "mm"),
        ("mass", leaf.mass, system.largest_leaf_mass, "kg"),
    )
    return [
        BrokenLimit(leaf.number, what, value, limit, unit)
        for what, value, limit, unit in figures
        if value > limit
    ]


def _glass_finding(leaf: Leaf, request: DoorsetRequest, rules: DoorsetRules) -> GlassFinding:
    system = request.profile_system
    bottom = (request.upstand or 0.0) + system.leaf_gap + system.sash_face
    return judge_glass(leaf.number, leaf.glass_width, bottom, request.glazing, rules.glass)


def _upstand(upstand: float | None, rules: DoorsetRules) -> Finding | None:
    if upstand is None:
        return None
    within = upstand <= rules.upstand
    return Finding(upstand, rules.upstand, "mm", within, rules.upstand_source)


def _thermal(leaves: tuple[Leaf, ...], request: DoorsetRequest, rules: DoorsetRules) -> Thermal:
    """Visible glass against all else as frame, over the whole frame's area (EN ISO 10077-1)."""
    system = request.profile_system
    cover = 2 * system.glass_edge_cover
    visible = [(leaf.glass_width - cover, leaf.glass_height - cover) for leaf in leaves]
    glass_area = fsum(width * height for width, height in visible) / 1e6
    whole_area = request.frame.width * request.frame.height / 1e6
    perimeter = fsum(2 * (width + height) for width, height in visible) / 1000
    glass = glazing_u_value(request.glazing)
    answer = doorset_u_value(
        [Part(glass_area, glass.u_value)],
        [Part(whole_area - glass_area, system.frame_u)],
        [Edge(perimeter, system.psi)],
    )
    share = glass_area / whole_area
    return Thermal(
        u_value=answer.u_value,
        u_value_reported=answer.u_value_reported,
        u_glass=glass.u_value,
        u_glass_reported=glass.u_value_reported,
        glazed_share=share,
        limit=rules.u_value,
        within=answer.u_value_reported <= rules.u_value,
        source=rules.u_value_source,
    )
