"""What a benchmark of one calculation is made of."""

from collections.abc import Callable
from dataclasses import dataclass

from benchmarks.timing import REPEATS


@dataclass(frozen=True, slots=True)
class Case:
    """`floor` does the same work in another way, said by `floor_words`; `agree` raises
    `AssertionError` where the two do not give the same answer. Without a floor only the time is
    told. `repeats` as in `time_in_turns`; fewer for what takes seconds."""

    name: str
    work: Callable[[], object]
    floor: Callable[[], object] | None = None
    floor_words: str = ""
    agree: Callable[[], None] | None = None
    repeats: int = REPEATS
