"""The fold of a doorset: which leaves fold which way, and what each junction carries.

Leaves are numbered from the left, junctions from 0 at the left jamb, both seen from outside. The
left leaves are one chain counted from the left jamb, the right leaves another from the right jamb.
Source of the chain rules: common practice, no source.
"""

import re
from dataclasses import dataclass
from typing import Literal

from jobs.arithmetic.errors import UnusableInput
from jobs.sentences import sentence

Side = Literal["left", "right"]
LARGEST_FOLD = 20


@dataclass(frozen=True, slots=True)
class FoldedLeaf:
    """A leaf and its place: `position` counts within its chain, from 1 at the chain's jamb.

    `carried_on` is the side that carries its weight: the jamb's side for odd positions, the other
    for even ones. `brings_carrier` holds for even positions.
    """

    number: int
    chain: Side
    position: int
    carried_on: Side
    brings_carrier: bool
    access_leaf: bool


@dataclass(frozen=True, slots=True)
class Junction:
    """Where leaves meet each other or a jamb.

    `supports` names, for each chain that reaches it, what stands there: `jamb_hinge`, `knuckle`,
    `carrier` or `closing_edge` (an odd chain's free edge).
    """

    number: int
    leaves: tuple[int, ...]
    supports: tuple[str, ...]
    keep: bool


@dataclass(frozen=True, slots=True)
class Fold:
    leaves: int
    left: int
    right: int

    @property
    def all_one_way(self) -> bool:
        return 0 in (self.left, self.right)

    @property
    def keep_jamb(self) -> Side | None:
        """The jamb that holds the keep where all leaves fold one way; it is off before fixing."""
        if not self.all_one_way:
            return None
        return "right" if self.left else "left"

    @property
    def closing_junction(self) -> int:
        """Where the doorset is locked: where its chains meet, else at the jamb with the keep."""
        if self.all_one_way:
            return self.leaves if self.left else 0
        return self.left

    def folded_leaves(self) -> tuple[FoldedLeaf, ...]:
        """All leaves, from the left."""
        left = [self._leaf("left", k) for k in range(1, self.left + 1)]
        right = [self._leaf("right", k) for k in range(self.right, 0, -1)]
        return (*left, *right)

    def junctions(self) -> tuple[Junction, ...]:
        """All junctions, from the left jamb to the right."""
        return tuple(self._junction(number) for number in range(self.leaves + 1))

    def _leaf(self, chain: Side, position: int) -> FoldedLeaf:
        length = self.left if chain == "left" else self.right
        other: Side = "right" if chain == "left" else "left"
        odd = position % 2 == 1
        return FoldedLeaf(
            number=position if chain == "left" else self.leaves + 1 - position,
            chain=chain,
            position=position,
            carried_on=chain if odd else other,
            brings_carrier=not odd,
            access_leaf=odd and position == length,
        )

    def _junction(self, number: int) -> Junction:
        supports = []
        if self.left and number <= self.left:
            supports.append(_support(number, self.left))
        if self.right and self.leaves - number <= self.right:
            supports.append(_support(self.leaves - number, self.right))
        beside = (leaf for leaf in (number, number + 1) if 1 <= leaf <= self.leaves)
        keep = self.all_one_way and number == self.closing_junction
        return Junction(number, tuple(beside), tuple(supports), keep)


def _support(chain_junction: int, length: int) -> str:
    if chain_junction == 0:
        return "jamb_hinge"
    if chain_junction % 2 == 0:
        return "carrier"
    return "closing_edge" if chain_junction == length else "knuckle"


def parse_fold(text: str) -> Fold:
    """Read trade notation leaves-left-right, such as `5-3-2`.

    Raises `UnusableInput` at `/fold` when it is not that, or does not add up.
    """
    match = re.fullmatch(r"([0-9]{1,2})-([0-9]{1,2})-([0-9]{1,2})", text)
    if not match:
        detail = sentence("{text!r} is not leaves-left-right, such as 5-3-2", text=text)
        raise UnusableInput("/fold", detail)
    leaves, left, right = map(int, match.groups())
    if leaves != left + right:
        detail = sentence(
            "{text} does not add up: {left} + {right} is not {leaves}",
            text=text,
            left=left,
            right=right,
            leaves=leaves,
        )
        raise UnusableInput("/fold", detail)
    if not 1 <= leaves <= LARGEST_FOLD:
        detail = sentence(
            "{text} has {leaves} leaves; 1 to {largest} are possible",
            text=text,
            leaves=leaves,
            largest=LARGEST_FOLD,
        )
        raise UnusableInput("/fold", detail)
    return Fold(leaves, left, right)
