"""What a benchmark of one calculation is made of."""

from collections.abc import Callable
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Case:
    """`floor` does the same work in another way, said by `floor_words`; `agree` raises
    `AssertionError` where the two do not give the same answer. Without a floor only the time is
    told."""

    name: str
    work: Callable[[], object]
    floor: Callable[[], object] | None = None
    floor_words: str = ""
    agree: Callable[[], None] | None = None
