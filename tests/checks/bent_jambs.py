"""Jambs at random for checks of the advice on packers; lengths in mm.

How each really stands is worked out here, by scipy's cubic spline (a beam on hard packers) or by
finite elements (a beam on packers that give), and packers seat by chance. Nothing here comes from
what gives the advice.
"""

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

import numpy as np
from scipy.interpolate import CubicSpline

LENGTH = 2100.0
QUARTERS = (525.0, 1050.0, 1575.0)
Shape = Callable[[Any], Any]
ELEMENT = 50.0


def on_hard_packers(places: Any, heights: Any) -> Shape:
    """Natural cubic spline through the packers, straight on beyond the outer two."""
    spline = CubicSpline(places, heights, bc_type="natural")

    def shape(at: float) -> float:
        inside = float(np.clip(at, places[0], places[-1]))
        return float(spline(inside) + spline(inside, 1) * (at - inside))

    return shape


def on_packers_that_give(places: Any, heights: Any, stiffness: float = 40.0) -> Shape:
    """Euler-Bernoulli beam of Hermite elements (their matrix is in any text on finite elements) on
    springs; the stiffness of a spring is given as a multiple of the beam's own over 600 mm."""
    nodes = np.arange(0.0, LENGTH + 1, ELEMENT)
    whole = np.zeros((2 * len(nodes), 2 * len(nodes)))
    h = ELEMENT
    element = (
        np.array(
            [
                [12, 6 * h, -12, 6 * h],
                [6 * h, 4 * h * h, -6 * h, 2 * h * h],
                [-12, -6 * h, 12, -6 * h],
                [6 * h, 2 * h * h, -6 * h, 4 * h * h],
            ]
        )
        / h**3
    )
    for first in range(len(nodes) - 1):
        whole[2 * first : 2 * first + 4, 2 * first : 2 * first + 4] += element
    load = np.zeros(2 * len(nodes))
    spring = stiffness * 12 / 600**3
    for place, height in zip(places, heights, strict=True):
        node = 2 * round(place / ELEMENT)
        whole[node, node] += spring
        load[node] += spring * height
    moved = np.linalg.solve(whole, load)[::2]
    return lambda at: float(np.interp(at, nodes, moved))


@dataclass
class BentJamb:
    """A jamb on packers; `places` from its foot."""

    places: tuple[float, ...]
    heights: Any
    shape_of: Callable[[Any, Any], Shape] = on_hard_packers
    stacks: list[tuple[float, ...]] = field(default_factory=list)

    @property
    def stands(self) -> tuple[float, tuple[float, ...]]:
        """How it really stands: out of plumb, and bowed at its quarter points."""
        shape = self.shape_of(self.places, self.heights)
        foot, lean = shape(0.0), shape(LENGTH) - shape(0.0)
        return lean, tuple(shape(at) - foot - lean * at / LENGTH for at in QUARTERS)

    def is_within(self, plumb: float, bow: float) -> bool:
        lean, bows = self.stands
        return abs(lean) <= plumb and all(abs(one) <= bow for one in bows)


def at_random(
    rng: np.random.Generator,
    places: tuple[float, ...] = (150.0, 750.0, 1350.0, 1950.0),
    shape_of: Callable[[Any, Any], Shape] = on_hard_packers,
) -> BentJamb:
    """Lean of 3 mm and bow of 1.5 mm standard deviation, each packer 0.5 mm by itself."""
    share = np.array(places) / LENGTH
    heights = (
        rng.normal(0, 3) * share
        + rng.normal(0, 1.5) * np.sin(np.pi * share)
        + rng.normal(0, 0.5, len(places))
    )
    return BentJamb(places, heights, shape_of, [(5.0, 3.0)] * len(places))


def seat(rng: np.random.Generator, change: float) -> float:
    """How far the jamb follows a changed packer: 0.3 mm standard deviation, and one in ten is
    crushed by up to a millimetre."""
    crushed = rng.uniform(0, 1) if rng.random() < 0.1 else 0.0
    return float(change + rng.normal(0, 0.3) - crushed)
