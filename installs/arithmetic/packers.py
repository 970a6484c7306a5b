"""Making up a packer: the fewest pieces that fill a joint without forcing it."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil, floor

from jobs.arithmetic.errors import UnusableInput
from jobs.sentences import sentence

Stack = tuple[int, ...]
TENTHS = 10


@dataclass(frozen=True, slots=True)
class PackerRules:
    thicknesses: tuple[float, ...]
    shortfall: float


@dataclass(frozen=True, slots=True)
class AdviceRules:
    """Pieces a crew carries and the slack of a changed packer (standard deviation), mm; how sure
    it has to be that the member is within its limits."""

    thicknesses: tuple[float, ...]
    slack: float
    confidence: float


@dataclass(frozen=True, slots=True)
class PackerStack:
    """Pieces, thickest first, for a joint; all in mm.

    `within` says whether the shortfall keeps to its limit; where the pieces at hand cannot reach
    it, the stack is the closest there is below the joint. A joint below 0 mm is never within.
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

    Where several stacks of as few pieces do, the thickest one. All in mm; thicknesses count to a
    tenth. Raises `UnusableInput` for a thickness that is under a tenth.
    """
    stacks = _fewest_pieces(_tenths_below(joint_width), _sizes(thicknesses))
    least = max(0, _tenths_from(joint_width - shortfall_limit))
    chosen = min(_made(stacks[least:]), key=len, default=_made(stacks)[0])
    thickness = sum(chosen) / TENTHS
    shortfall = round(joint_width - thickness, 6)
    return PackerStack(
        joint_width=joint_width,
        pieces=tuple(piece / TENTHS for piece in chosen),
        thickness=thickness,
        shortfall=shortfall,
        within=0 <= shortfall <= shortfall_limit,
    )


def _sizes(thicknesses: Sequence[float]) -> Stack:
    """Thicknesses in tenths of a mm, thickest first."""
    sizes = [round(thickness * TENTHS) for thickness in thicknesses]
    for index, size in enumerate(sizes):
        if size < 1:
            raise UnusableInput(
                f"/thicknesses/{index}",
                sentence(
                    "{thickness:g} mm is no packer; give 0.1 mm or more",
                    thickness=thicknesses[index],
                ),
            )
    return tuple(sorted(set(sizes), reverse=True))


def _tenths_below(width: float) -> int:
    # Rounded first: 0.3 / 0.1 must not lose a tenth to binary fractions.
    return max(0, floor(round(width * TENTHS, 6)))


def _tenths_from(width: float) -> int:
    return ceil(round(width * TENTHS, 6))


def _fewest_pieces(joint: int, sizes: Stack) -> list[Stack | None]:
    """For each total up to the joint the fewest sizes that add up to it, None where none do."""
    best: list[Stack | None] = [()]
    for total in range(1, joint + 1):
        stacks = [
            (*stack, size)
            for size in sizes
            if size <= total and (stack := best[total - size]) is not None
        ]
        best.append(min(stacks, key=len, default=None))
    return best


def _made(stacks: list[Stack | None]) -> list[Stack]:
    """The stacks that can be made, the thickest stack first and its thickest piece first."""
    return [tuple(sorted(stack, reverse=True)) for stack in reversed(stacks) if stack is not None]
