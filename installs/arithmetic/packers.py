"""Making up a packer: the fewest pieces that fill a joint without forcing it."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from math import floor


@dataclass(frozen=True, slots=True)
class PackerStack:
    """Pieces, thickest first, for a joint; all in mm.

    `within` says whether the shortfall keeps to its limit; where the pieces at hand cannot reach
    it, the stack is the closest there is below the joint.
    """

    joint_width: float
    pieces: tuple[float, ...]
    thickness: float
    shortfall: float
    within: bool


def make_up_packers(
    joint_width: float, thicknesses: Sequence[float], shortfall_limit: float
) -> PackerStack:
    """Fewest pieces that come within `shortfall_limit` of the joint and are never thicker.

    Where several stacks of as few pieces do, the thickest one. All in mm, worked in tenths.
    """
    sizes = tuple(sorted({round(10 * size) for size in thicknesses}, reverse=True))
    joint = max(0, floor(round(10 * joint_width, 6)))
    limit = floor(round(10 * shortfall_limit, 6))
    close_enough = range(joint, max(-1, joint - limit - 1), -1)
    made = [stack for total in close_enough if (stack := _fewest(total, sizes)) is not None]
    if made:
        chosen = min(made, key=len)
    else:
        lower = (_fewest(total, sizes) for total in range(joint, -1, -1))
        chosen = next(stack for stack in lower if stack is not None)
    thickness = sum(chosen) / 10
    shortfall = joint_width - thickness
    return PackerStack(
        joint_width=joint_width,
        pieces=tuple(piece / 10 for piece in chosen),
        thickness=thickness,
        shortfall=round(shortfall, 6),
        within=shortfall <= shortfall_limit + 1e-9,
    )


@lru_cache(maxsize=4096)
def _fewest(total: int, sizes: tuple[int, ...]) -> tuple[int, ...] | None:
    """Fewest sizes that add up to the total exactly, thickest first; None when none do."""
    best: list[tuple[int, ...] | None] = [()] + [None] * total
    for amount in range(1, total + 1):
        stacks = [
            (*stack, size)
            for size in sizes
            if size <= amount and (stack := best[amount - size]) is not None
        ]
        best[amount] = min(stacks, key=len, default=None)
    found = best[total]
    return None if found is None else tuple(sorted(found, reverse=True))
