"""What can be changed of a stack of packers with the pieces that a crew carries."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations, combinations_with_replacement

from jobs.arithmetic.errors import UnusableInput
from jobs.sentences import sentence

MOST_ADDED, MOST_TAKEN = 2, 3
GREATEST_CHANGE = 20.0
TENTHS = 10


@dataclass(frozen=True, slots=True)
class StackChange:
    """Pieces in mm, thickest first; `change` is what they add up to, added less taken."""

    change: float
    added: tuple[float, ...]
    taken: tuple[float, ...]

    @property
    def pieces(self) -> int:
        return len(self.added) + len(self.taken)


def stack_changes(
    pieces: Sequence[float] | None, thicknesses: Sequence[float]
) -> tuple[StackChange, ...]:
    """Every other thickness that a stack can be given, each with the fewest pieces touched, in
    ascending order; mm.

    Up to three pieces are taken out and two of the `thicknesses` added. Of a stack that is not
    known (None) nothing is taken out: there may be nothing. Raises `UnusableInput` for a thickness
    under a tenth of a mm.
    """
    carried = sorted({_tenths(mm, index) for index, mm in enumerate(thicknesses)}, reverse=True)
    there = sorted((round(mm * TENTHS) for mm in pieces or ()), reverse=True)
    best: dict[int, StackChange] = {}
    fewest = min(len(there), MOST_TAKEN) + 1
    for taken in {out for count in range(fewest) for out in combinations(there, count)}:
        for count in range(MOST_ADDED + 1):
            for added in combinations_with_replacement(carried, count):
                _keep_fewest(best, added, taken)
    return tuple(best[change] for change in sorted(best))


def _keep_fewest(
    best: dict[int, StackChange], added: tuple[int, ...], taken: tuple[int, ...]
) -> None:
    change = sum(added) - sum(taken)
    if change == 0 or abs(change) > GREATEST_CHANGE * TENTHS or set(added) & set(taken):
        return
    made = StackChange(change / TENTHS, _in_mm(added), _in_mm(taken))
    if change not in best or _simpler(made) < _simpler(best[change]):
        best[change] = made


def _simpler(made: StackChange) -> tuple[int, tuple[float, ...]]:
    return made.pieces, made.taken


def _in_mm(pieces: tuple[int, ...]) -> tuple[float, ...]:
    return tuple(piece / TENTHS for piece in pieces)


def _tenths(thickness: float, index: int) -> int:
    tenths = round(thickness * TENTHS)
    if tenths < 1:
        raise UnusableInput(
            f"/packer_thicknesses/{index}",
            sentence("{thickness:g} mm is no packer; give 0.1 mm or more", thickness=thickness),
        )
    return tenths
