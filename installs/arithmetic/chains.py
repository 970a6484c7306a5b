"""The chains of a doorset as its running gear sees them: junctions and supports from each jamb."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import accumulate
from typing import Literal

from jobs.arithmetic.fold import Fold, Side

Support = Literal["hinge", "carrier", "none"]
SUPPORTS: dict[str, Support] = {
    "jamb_hinge": "hinge",
    "carrier": "carrier",
    "knuckle": "none",
    "closing_edge": "none",
}


@dataclass(frozen=True, slots=True)
class ChainJunction:
    """A junction of one chain: `at` mm from the chain's jamb, gaps as read.

    A hinge only lifts where it is `adjustable`. `lifted`: how far its support is above the
    middle of its range by now.
    """

    at: float
    support: Support
    head_gap: float
    sill_gap: float
    adjustable: bool = False
    lifted: float = 0.0

    @property
    def difference(self) -> float:
        return self.head_gap - self.sill_gap

    @property
    def moves(self) -> bool:
        return self.support == "carrier" or (self.support == "hinge" and self.adjustable)


@dataclass(frozen=True, slots=True)
class RunningGearRequest:
    """One chain from its jamb; every support can stand `adjustment_range` above or below its
    middle, and one turn lifts it by `lift_per_turn`."""

    junctions: tuple[ChainJunction, ...]
    adjustment_range: float
    lift_per_turn: float
    tolerance: float


@dataclass(frozen=True, slots=True)
class ChainPlace:
    """A junction of the doorset, by its number from the left, `at` mm from its chain's jamb."""

    junction: int
    at: float
    support: Support


@dataclass(frozen=True, slots=True)
class Chain:
    jamb: Side
    places: tuple[ChainPlace, ...]


def chains_of(fold: Fold, leaf_widths: Sequence[float], leaf_gap: float) -> tuple[Chain, ...]:
    """The chains, left first. `leaf_widths` from the left and `leaf_gap` in mm.

    Where two chains meet, their junction belongs to both.
    """
    places = list(accumulate((width + leaf_gap for width in leaf_widths), initial=0.0))
    junctions = fold.junctions()
    chains = []
    if fold.left:
        supports = [junction.supports[0] for junction in junctions[: fold.left + 1]]
        chains.append(_chain("left", places[: fold.left + 1], range(fold.left + 1), supports))
    if fold.right:
        numbers = range(fold.leaves, fold.left - 1, -1)
        from_jamb = [places[-1] - places[number] for number in numbers]
        supports = [junctions[number].supports[-1] for number in numbers]
        chains.append(_chain("right", from_jamb, numbers, supports))
    return tuple(chains)


def _chain(
    jamb: Side, places: Sequence[float], numbers: Sequence[int], supports: Sequence[str]
) -> Chain:
    return Chain(
        jamb,
        tuple(
            ChainPlace(number, round(at, 6), SUPPORTS[support])
            for number, at, support in zip(numbers, places, supports, strict=True)
        ),
    )
