"""The marking etched into panes against what was ordered, pane by pane.

BS EN 12600:2002 classifies a pane as, say, 2(B)2: the class of the drop height (1 is the best, 3
the least) at which it does not break or breaks safely, how it breaks (A in cracks, B held together
as laminated glass, C in small pieces as toughened glass), and the class at which it does not break.
"""

import re
from dataclasses import dataclass

from jobs.arithmetic.glazing import Glazing, Safety

BREAKS: dict[Safety, str] = {"toughened": "C", "laminated": "B"}
"""How a pane of each kind breaks, by the letter of its class (BS EN 12600:2002, 4)."""
CLASS = re.compile(
    r"(?<![0-9A-Za-z])([123])\s?\(?([ABC])\)?\s?([0-3])(?![0-9A-Za-z])", re.IGNORECASE
)


@dataclass(frozen=True, slots=True)
class Mark:
    """A class as it is read from a pane."""

    drop_class: int
    breaks: str
    unbroken: int

    def __str__(self) -> str:
        return f"{self.drop_class}({self.breaks}){self.unbroken}"


@dataclass(frozen=True, slots=True)
class OrderedPane:
    """A pane that somebody can walk into: its `number` from outside, from 1, its kind, and the
    class of BS EN 12600 that it needs at least."""

    number: int
    safety: Safety
    drop_class: int

    def is_met_by(self, mark: Mark) -> bool:
        right_kind = mark.breaks == BREAKS.get(self.safety, mark.breaks)
        return right_kind and mark.drop_class <= self.drop_class


@dataclass(frozen=True, slots=True)
class MarkShortfall:
    """A pane whose marking does not show what was ordered; `mark` is None where none was read."""

    ordered: OrderedPane
    mark: Mark | None


def read_marks(marking: str) -> tuple[Mark, ...]:
    """The classes in what somebody read off the panes, in their order."""
    return tuple(
        Mark(int(drop), breaks.upper(), int(unbroken))
        for drop, breaks, unbroken in CLASS.findall(marking)
    )


def ordered_panes(glazing: Glazing, required_class: str) -> tuple[OrderedPane, ...]:
    """The outermost and the innermost pane, which alone can be struck; none where no class is
    asked for. `required_class` is that of a `GlassFinding`."""
    needed = re.search(r"class (\d)$", required_class)
    if needed is None:
        return ()
    exposed = sorted({0, len(glazing.panes) - 1})
    return tuple(
        OrderedPane(place + 1, glazing.panes[place].safety, int(needed[1])) for place in exposed
    )


def mark_shortfalls(
    marking: str, glazing: Glazing, required_class: str
) -> tuple[MarkShortfall, ...]:
    """Panes that are not shown to be as ordered by the marks read off them from outside; of more
    than two the first and the last are those of the panes that can be struck."""
    panes, marks = ordered_panes(glazing, required_class), read_marks(marking)
    read: list[Mark | None] = [*marks[:1], *(marks[-1:] if len(marks) > 1 else ())]
    read += [None] * (len(panes) - len(read))
    return tuple(
        MarkShortfall(pane, mark)
        for pane, mark in zip(panes, read, strict=False)
        if mark is None or not pane.is_met_by(mark)
    )
