"""The chains of a doorset as its running gear sees them: junctions and supports from each jamb."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from itertools import accumulate
from typing import TYPE_CHECKING, Literal

from jobs.arithmetic.fold import Fold, Side

if TYPE_CHECKING:
    import numpy as np
    import numpy.typing as npt

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
    middle of its range by now. `number`: its number at the doorset, by default its place in the
    chain. `along`: mm from the left end of head and sill, by default `at`.
    """

    at: float
    support: Support
    head_gap: float
    sill_gap: float
    adjustable: bool = False
    lifted: float = 0.0
    number: int | None = None
    along: float | None = None

    @property
    def difference(self) -> float:
        return self.head_gap - self.sill_gap

    @property
    def together(self) -> float:
        return self.head_gap + self.sill_gap

    @property
    def moves(self) -> bool:
        return self.support == "carrier" or (self.support == "hinge" and self.adjustable)


@dataclass(frozen=True, slots=True)
class RunningGearRequest:
    """One chain from its jamb; every support can stand `adjustment_range` above or below its
    middle, and one turn lifts it by `lift_per_turn`.

    `tolerance` is what head gap and sill gap may differ by, `together_tolerance` what both together
    may be off twice the `leaf_gap`, where that is known. `expanded_uncertainty` is that of one
    reading; without it readings count as exact. `packers`: where the head and the sill can be
    packed, mm as `along`; at the junctions themselves where that is not known.
    """

    junctions: tuple[ChainJunction, ...]
    adjustment_range: float
    lift_per_turn: float
    tolerance: float
    leaf_gap: float | None = None
    together_tolerance: float = 2.0
    expanded_uncertainty: float = 0.0
    coverage_factor: float = 2.0
    confidence: float = 0.95
    packers: Mapping[str, tuple[float, ...]] = field(default_factory=dict)

    @property
    def standard_uncertainty(self) -> float:
        """Of one reading, mm."""
        return self.expanded_uncertainty / self.coverage_factor

    def number_of(self, index: int) -> int:
        """The number of the junction at this place of the chain."""
        number = self.junctions[index].number
        return index if number is None else number

    def along(self, index: int) -> float:
        """Where the junction at this place of the chain is along head and sill."""
        junction = self.junctions[index]
        return junction.at if junction.along is None else junction.along


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

    @property
    def length(self) -> float:
        """From its jamb to its closing edge, mm."""
        return self.places[-1].at

    @property
    def closes_at(self) -> int:
        """The number of the junction where it ends."""
        return self.places[-1].junction


def following(chain: Sequence[ChainJunction]) -> "npt.NDArray[np.float64]":
    """Row j, column i: by what share junction j moves when the support at junction i is lifted:
    between two supports by a straight line, beyond the last one together with it."""
    # Loaded here: most of what imports this module never asks for it.
    import numpy as np  # noqa: PLC0415

    supports = [index for index, junction in enumerate(chain) if junction.support != "none"]
    shares = np.zeros((len(chain), len(chain)))
    if supports:
        places = [junction.at for junction in chain]
        held = [places[index] for index in supports]
        for index, unit in zip(supports, np.eye(len(supports)), strict=True):
            shares[:, index] = np.interp(places, held, unit)
    return shares


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
