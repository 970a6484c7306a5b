"""Glazing of a folding doorset: the order of work, and per sash its brace and its blocks.

A sash hangs from one stile. Its pane, packed along one diagonal, is the brace that keeps it square:
the heel is the bottom corner on the side that carries the sash, the toe the top corner opposite.
Lengths in mm. Sources: common practice; the corners also by an encyclopaedia article on glazing
blocks (load from the upper lock side over the pane to the lower hinge side); block lengths and
their distance from a corner from the rule set.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import hypot
from typing import Literal

from jobs.arithmetic.errors import UnusableInput
from jobs.arithmetic.fold import Fold, FoldedLeaf, Side
from jobs.sentences import sentence

Edge = Literal["bottom", "top", "left", "right"]
OPPOSITE: dict[Side, Side] = {"left": "right", "right": "left"}
SOURCES = (
    sentence("order of work, heel and toe: common practice, no source"),
    sentence(
        "load from the top of the free side to the bottom of the carrying side: encyclopaedia "
        "article on glazing blocks"
    ),
    sentence(
        "lift that squares a sash: difference of diagonals x diagonal / (2 x height), closed form"
    ),
)
CAUTIONS = (
    sentence(
        "Cut-resistant gloves, sleeves and eye protection; nobody under a pane that is held up."
    ),
    sentence("Weigh up every pane before it is lifted; the lift plan says when an aid is needed."),
    sentence("Glass never touches metal; do not over-pack: a forced pane breaks later."),
)


@dataclass(frozen=True, slots=True)
class BlockRules:
    """`per_m2`: mm of block for each m2 of glass; `least`: mm; `from_corner`: mm between the corner
    of the glass and the block's near end."""

    per_m2: float
    least: float
    from_corner: float
    sources: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class GlazedLeaf:
    """Sizes of the sash, kg of its glass; the glass's own size where it is known, else the sash
    stands for it."""

    number: int
    width: float
    height: float
    glass_mass: float
    glass_width: float | None = None
    glass_height: float | None = None

    @property
    def glass(self) -> tuple[float, float]:
        return self.glass_width or self.width, self.glass_height or self.height


@dataclass(frozen=True, slots=True)
class SashDiagonals:
    """Measured over a sash: `rising` from bottom left to top right, seen from outside."""

    number: int
    rising: float
    falling: float


@dataclass(frozen=True, slots=True)
class Block:
    """`at`: the block's middle, from the left end or the foot of its edge of the glass."""

    edge: Edge
    at: float
    length: float


@dataclass(frozen=True, slots=True)
class SashPlan:
    """`lift`: mm that squares the sash at its free stile, up positive; None where it was not
    measured."""

    number: int
    heel: str
    toe: str
    free_stile: Side
    glass_mass: float
    setting_blocks: tuple[Block, ...]
    location_blocks: tuple[Block, ...]
    lift: float | None


@dataclass(frozen=True, slots=True)
class GlazingPlan:
    order: tuple[int, ...]
    leaves: tuple[SashPlan, ...]
    brace: Literal["toe_and_heel_device", "glass_on_blocks"]
    sources: tuple[str, ...]
    cautions: tuple[str, ...] = CAUTIONS


def plan_glazing(
    fold: Fold,
    leaves: Sequence[GlazedLeaf],
    rules: BlockRules,
    *,
    toe_and_heel_device: bool,
    diagonals: Sequence[SashDiagonals] = (),
) -> GlazingPlan:
    """One plan for all sashes of a doorset. Raises `UnusableInput` where leaves or diagonals are
    not those of the fold, and for glass larger than its sash."""
    by_number = _leaves_by_number(fold, leaves)
    measured = _diagonals_by_number(by_number, diagonals)
    return GlazingPlan(
        order=working_order(fold),
        leaves=tuple(
            _sash(folded, by_number[folded.number], measured.get(folded.number), rules)
            for folded in fold.folded_leaves()
        ),
        brace="toe_and_heel_device" if toe_and_heel_device else "glass_on_blocks",
        sources=(*SOURCES, *rules.sources),
    )


def working_order(fold: Fold) -> tuple[int, ...]:
    """Leaf numbers from the left end inwards; where all leaves fold one way from the second sash
    in, counted from the jamb they hang on, with the first sash last."""
    if not fold.all_one_way:
        return tuple(range(1, fold.leaves + 1))
    chain = sorted(fold.folded_leaves(), key=lambda leaf: leaf.position)
    return tuple(leaf.number for leaf in (*chain[1:], chain[0]))


def sash_lift(
    width: float, height: float, free_stile: Side, rising: float, falling: float
) -> float:
    """mm to lift the free stile by, down negative, so that the diagonals become equal.

    A sash that has dropped at its right stile is longer from top left to bottom right, one that has
    dropped at its left stile the other way round.
    """
    dropped = falling - rising
    return squaring_lift(width, height, dropped if free_stile == "right" else -dropped)


def out_of_square(rising: float | None, falling: float | None, limit: float) -> float:
    """mm by which the diagonals of a sash differ, where that is more than the limit; 0 where it is
    not, and where one of them was not measured. No uncertainty is asked: both are read with the
    same tape over almost the same length, so that its errors go, and to the whole mm."""
    if rising is None or falling is None:
        return 0.0
    difference = abs(rising - falling)
    return difference if difference > limit else 0.0


def check_diagonal(pointer: str, length: float, width: float, height: float) -> None:
    """Raises `UnusableInput` for a length that no diagonal of a sash of this size has; mm."""
    shortest, longest = max(width, height), width + height
    if not shortest < length < longest:
        raise UnusableInput(
            pointer,
            sentence(
                "{length:g} mm is no diagonal of a sash of {width:g} by {height:g}; give "
                "{shortest:g} to {longest:g}",
                length=length,
                width=width,
                height=height,
                shortest=shortest,
                longest=longest,
            ),
        )


def squaring_lift(width: float, height: float, difference: float) -> float:
    """mm to lift the free stile of a sash whose diagonals differ: difference x diagonal /
    (2 x height), to the first order."""
    return difference * hypot(width, height) / (2 * height)


def _leaves_by_number(fold: Fold, leaves: Sequence[GlazedLeaf]) -> dict[int, GlazedLeaf]:
    by_number: dict[int, GlazedLeaf] = {}
    for index, leaf in enumerate(leaves):
        if not 1 <= leaf.number <= fold.leaves:
            raise UnusableInput(
                f"/leaves/{index}/number",
                sentence(
                    "there is no leaf {number}; give 1 to {last}",
                    number=leaf.number,
                    last=fold.leaves,
                ),
            )
        if leaf.number in by_number:
            detail = sentence("leaf {number} is given twice", number=leaf.number)
            raise UnusableInput(f"/leaves/{index}/number", detail)
        _check_glass(f"/leaves/{index}", leaf)
        by_number[leaf.number] = leaf
    if missing := [n for n in range(1, fold.leaves + 1) if n not in by_number]:
        detail = sentence("still to be given: {numbers}", numbers=", ".join(map(str, missing)))
        raise UnusableInput("/leaves", detail)
    return by_number


def _check_glass(pointer: str, leaf: GlazedLeaf) -> None:
    width, height = leaf.glass
    for name, glass, sash in (("width", width, leaf.width), ("height", height, leaf.height)):
        if glass > sash:
            raise UnusableInput(
                f"{pointer}/glass_{name}",
                sentence(
                    "{glass:g} mm is more than its sash; give up to {sash:g}",
                    glass=glass,
                    sash=sash,
                ),
            )


def _diagonals_by_number(
    leaves: Mapping[int, GlazedLeaf], diagonals: Sequence[SashDiagonals]
) -> dict[int, SashDiagonals]:
    by_number: dict[int, SashDiagonals] = {}
    for index, pair in enumerate(diagonals):
        pointer = f"/sash_diagonals/{index}"
        if pair.number not in leaves:
            detail = sentence("{number} is not a leaf of this doorset", number=pair.number)
            raise UnusableInput(f"{pointer}/number", detail)
        if pair.number in by_number:
            detail = sentence("{number} is given twice", number=pair.number)
            raise UnusableInput(f"{pointer}/number", detail)
        leaf = leaves[pair.number]
        check_diagonal(f"{pointer}/rising", pair.rising, leaf.width, leaf.height)
        check_diagonal(f"{pointer}/falling", pair.falling, leaf.width, leaf.height)
        by_number[pair.number] = pair
    return by_number


def _sash(
    folded: FoldedLeaf, leaf: GlazedLeaf, diagonals: SashDiagonals | None, rules: BlockRules
) -> SashPlan:
    carried, free = folded.carried_on, OPPOSITE[folded.carried_on]
    width, height = leaf.glass
    # In a pane too narrow for two such blocks, each takes its half of the edge.
    asked = max(rules.least, rules.per_m2 * width * height / 1e6)
    length = min(asked, width / 2 - rules.from_corner)
    near = rules.from_corner + length / 2
    across = {"left": near, "right": width - near}
    low, high = near, height - near
    return SashPlan(
        number=leaf.number,
        heel=f"bottom_{carried}",
        toe=f"top_{free}",
        free_stile=free,
        glass_mass=leaf.glass_mass,
        setting_blocks=(
            Block("bottom", across[carried], length),
            Block("top", across[free], length),
        ),
        location_blocks=(
            Block("bottom", across[free], length),
            Block(carried, low, length),
            Block(free, high, length),
        ),
        lift=None
        if diagonals is None
        else sash_lift(leaf.width, leaf.height, free, diagonals.rising, diagonals.falling),
    )
