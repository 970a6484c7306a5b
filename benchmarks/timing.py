"""Timing two ways of the same work in turns, in time of the processor: what else the machine does
counts for neither, and what it does to the caches hits both alike."""

import gc
from collections.abc import Callable
from dataclasses import dataclass
from statistics import median
from time import process_time

REPEATS = 15
SECONDS_A_REPEAT = 0.04
MICROSECONDS = 1e6


@dataclass(frozen=True, slots=True)
class Timed:
    """Microseconds a call: the best repeat, and the median of all."""

    best: float
    median: float


def time_in_turns(*ways: Callable[[], object], repeats: int = REPEATS) -> list[Timed]:
    """One `Timed` for each way, over `repeats` that go round all of them."""
    calls = [_calls_that_fill_a_repeat(way) for way in ways]
    taken: list[list[float]] = [[] for _ in ways]
    for _ in range(repeats):
        for way, count, times in zip(ways, calls, taken, strict=True):
            times.append(_seconds(way, count) / count * MICROSECONDS)
    return [Timed(min(times), median(times)) for times in taken]


def _calls_that_fill_a_repeat(way: Callable[[], object]) -> int:
    """Also warms it up."""
    way()
    return max(1, round(SECONDS_A_REPEAT / _seconds(way, 1)))


def _seconds(way: Callable[[], object], count: int) -> float:
    # Collecting falls on whichever way runs just then, so it is done before and not meanwhile.
    gc.collect()
    gc.disable()
    try:
        begun = process_time()
        for _ in range(count):
            way()
        return process_time() - begun
    finally:
        gc.enable()
