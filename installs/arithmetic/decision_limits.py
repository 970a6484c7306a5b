"""Where the decision about a reading changes: what a phone compares readings with.

Guard-banded limits as JCGM 106:2012, 8 defines them (accepted up to, rejected from), found where
the decision of `judge_conformity` itself changes, to the last bit, and not by a formula of their
own. So whoever compares decides as whoever calculates.
"""

from bisect import bisect_right
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise

from installs.arithmetic.conformity import Decision, judge_conformity
from installs.arithmetic.criteria import Criterion, uncertainty_of
from surveys.arithmetic.uncertainty import Instrument

MM_A_METRE = 1000
# A tape is as good as the metre that a reading ends in; beyond a full metre by this it is the next.
INTO_THE_NEXT_METRE = 0.001


@dataclass(frozen=True, slots=True)
class DecisionLimits:
    """`decisions[0]` below the first of the `edges`; from each edge on, the decision after it."""

    edges: tuple[float, ...]
    decisions: tuple[Decision, ...]

    def decide(self, value: float) -> Decision:
        return self.decisions[bisect_right(self.edges, value)]


@lru_cache(maxsize=4096)
def decision_limits(
    criterion: Criterion, instrument: Instrument | None, confidence: float
) -> DecisionLimits:
    """For the number that a criterion judges, over all that its readings can make of it.

    `instrument` may only be None for a count. Raises `UnusableInput` like `judge_conformity`, and
    for an instrument that says too little of itself.
    """
    span = criterion.highest - criterion.lowest
    lowest, highest = {
        "difference": (-span, span),
        "spread": (0.0, span),
    }.get(criterion.method, (criterion.lowest, criterion.highest))

    def decide(value: float) -> Decision:
        u = 0.0 if instrument is None else uncertainty_of(criterion.method, value, instrument)
        limits = criterion.lower, criterion.upper
        return judge_conformity(value, u, *limits, confidence).decision

    given = [limit for limit in (criterion.lower, criterion.upper) if limit is not None]
    return find_limits(
        decide, lowest, highest, (sum(given) / len(given), *_metres(lowest, highest))
    )


def find_limits(
    decide: Callable[[float], Decision], lowest: float, highest: float, turns: Iterable[float]
) -> DecisionLimits:
    """All edges between two values. Between two neighbours of `turns` the decision only ever gets
    better, or only worse."""
    within = {turn for turn in turns if lowest < turn < highest}
    edges = [
        edge
        for start, end in pairwise(sorted({lowest, highest} | within))
        for edge in _edges(decide, start, end)
    ]
    return DecisionLimits(tuple(edges), (decide(lowest), *map(decide, edges)))


def _edges(decide: Callable[[float], Decision], start: float, end: float) -> Iterable[float]:
    last = decide(end)
    while (decision := decide(start)) != last:
        same, other = start, end
        while same < (middle := (same + other) / 2) < other:
            same, other = (middle, other) if decide(middle) == decision else (same, middle)
        yield other
        start = other


def _metres(lowest: float, highest: float) -> Iterable[float]:
    """Where a tape gets worse: from each whole metre to a little beyond it, either way."""
    furthest = int(max(-lowest, highest) // MM_A_METRE)
    for metre in range(furthest + 1):
        for length in (metre * MM_A_METRE, metre * MM_A_METRE + INTO_THE_NEXT_METRE):
            yield from (length, -length)
