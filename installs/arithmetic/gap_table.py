"""Gaps of a junction that are decided together, as a table: a phone looks them up.

Head and sill gap are judged by their difference and by their sum at once, so that no single number
decides. All in hundredths of a mm, as finely as a gap is ever read.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from installs.arithmetic.conformity import Decision

HUNDREDTHS = 100
Row = tuple[int, int, int, int]
DECISIONS: tuple[Decision, ...] = ("fail", "inconclusive", "pass", "inconclusive", "fail")
WORTH: dict[Decision, int] = {"fail": 0, "inconclusive": 1, "pass": 2}


@dataclass(frozen=True, slots=True)
class GapTable:
    """`rows[n]`: of gaps that differ by n, the smaller ones at which the decision changes: from
    failed to open, to passed, to open again, to failed again. Gaps that differ by more than there
    are rows fail."""

    rows: tuple[Row, ...]

    def decide(self, head: float, sill: float) -> Decision:
        """For gaps in mm that are read to a hundredth."""
        apart, smaller = (
            round(number * HUNDREDTHS) for number in (abs(head - sill), min(head, sill))
        )
        if apart >= len(self.rows):
            return "fail"
        return DECISIONS[sum(smaller >= edge for edge in self.rows[apart])]


def gap_table(
    decide: Callable[[float, float], Decision], meant: float, greatest: float
) -> GapTable:
    """From what decides about head and sill gap, mm, for gaps meant to be `meant` mm and of up to
    `greatest` mm. Of gaps that differ by as much, those about twice `meant` together do best."""
    return GapTable(tuple(_rows(decide, meant, round(greatest * HUNDREDTHS))))


def _rows(decide: Callable[[float, float], Decision], meant: float, greatest: int) -> Iterator[Row]:
    edges: Row | None = None
    for apart in range(greatest + 1):
        # Half a hundredth beside what does best is as good, and both sides of it are looked at.
        best = max(0, round(meant * HUNDREDTHS - apart / 2))
        worth = _worth(decide, apart)
        if worth(best) == WORTH["fail"]:
            return
        edges = _row(worth, best, greatest - apart, edges or (best,) * 4)
        yield edges


def _row(worth: Callable[[int], int], best: int, greatest: int, near: Row) -> Row:
    """`near`: the edges of the row before, which are not far from those of this one."""
    open_, passed = WORTH["inconclusive"], WORTH["pass"]

    def first(least: int, guess: int) -> int:
        return _first(lambda smaller: worth(smaller) >= least, 0, best, guess)

    def end(least: int, guess: int) -> int:
        return _first(lambda smaller: worth(smaller) < least, best, greatest + 1, guess)

    begins, ends = first(open_, near[0]), end(open_, near[3])
    if worth(best) < passed:
        return begins, best, best, ends
    return begins, first(passed, near[1]), end(passed, near[2]), ends


def _worth(decide: Callable[[float, float], Decision], apart: int) -> Callable[[int], int]:
    """How good gaps are that differ by so much, by the smaller one; hundredths of a mm."""

    def worth(smaller: int) -> int:
        return WORTH[decide((smaller + apart) / HUNDREDTHS, smaller / HUNDREDTHS)]

    return worth


def _first(holds: Callable[[int], bool], lowest: int, highest: int, guess: int) -> int:
    """The first number from which on it holds; `highest` where it holds nowhere below that."""
    guess, stride = min(max(guess, lowest), highest), 1
    while lowest < highest:
        if guess < highest and not holds(guess):
            lowest, guess = guess + 1, guess + stride
        else:
            highest, guess = guess, guess - stride
        stride *= 2
        if not lowest <= guess < highest:
            guess, stride = (lowest + highest) // 2, 1
    return lowest
