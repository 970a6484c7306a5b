"""Safety glazing of the leaves of a doorset: every leaf of a folding doorset is a door."""

from dataclasses import dataclass

from jobs.arithmetic.glazing import Glazing

SAFE_KINDS = ("toughened", "laminated")


@dataclass(frozen=True, slots=True)
class GlassSafetyRules:
    """Lengths in mm: glazing below `door_height` is critical; panes wider than `wide_pane` need
    the better class."""

    door_height: float
    wide_pane: float
    source: str


@dataclass(frozen=True, slots=True)
class GlassFinding:
    """One leaf whose glass a person could break: `unsafe_panes` counts from outside, from 1."""

    leaf: int
    unsafe_panes: tuple[int, ...]
    required_class: str
    unsafe: bool
    source: str


def judge_glass(
    leaf: int, glass_width: float, bottom_of_glass: float, glazing: Glazing, rules: GlassSafetyRules
) -> GlassFinding:
    """Which faces that people can walk into are not of safety glass, and which class they need.

    `bottom_of_glass` in mm above the floor. Only the outermost and the innermost pane can be
    struck. The class is that of BS EN 12600 by the width of the pane.
    """
    panes = glazing.panes
    critical = bottom_of_glass < rules.door_height
    exposed = sorted({0, len(panes) - 1})
    unsafe = tuple(i + 1 for i in exposed if critical and panes[i].safety not in SAFE_KINDS)
    needed = "BS EN 12600 class 2" if glass_width > rules.wide_pane else "BS EN 12600 class 3"
    return GlassFinding(leaf, unsafe, needed if critical else "none", bool(unsafe), rules.source)
