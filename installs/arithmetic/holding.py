"""Where a team takes hold of what it carries, and who carries how much on steps. Pure.

Lengths in mm, masses in kg. What is carried stands upright on one edge and is held along it.

On the flat everybody is to carry the same share, and the edge is to flex little. Airy ("On the
flexure of a uniform bar supported by a number of equal pressures", Memoirs of the Royal
Astronomical Society 15, 1846; from memory) spaces n equal supports of a uniform bar of length L by
L / sqrt(n^2 - 1): then its ends stay level. The same condition for any symmetric mass is that the
mean square distance of the hands from the middle is that of the mass, k^2; equally spaced, that is
k sqrt(12 / (n^2 - 1)). For a uniform bar k^2 = L^2 / 12, which is Airy's spacing.
"""

from dataclasses import dataclass
from math import asin, radians, sin, sqrt, tan
from typing import Literal

from jobs.sentences import sentence
from surveys.arithmetic.way_in import Edge

SOURCE = sentence(
    "where to hold: equal shares and level ends, Airy, Memoirs of the Royal Astronomical Society "
    "15 (1846)"
)
BEARERS = 2
"""Places at which a lifting aid bears a load."""


@dataclass(frozen=True, slots=True)
class Burden:
    """What is carried on its edge `along`, `length` long; `height` is its other edge. `mass` of
    which `at_ends` sits in both ends together, the rest spread evenly over the length."""

    mass: float
    along: Edge
    length: float
    height: float
    at_ends: float = 0.0


@dataclass(frozen=True, slots=True)
class Steps:
    """Steps on the way: `rise` of each, mm, and the steepest `pitch` they can have, degrees."""

    number: int
    rise: float
    pitch: float


@dataclass(frozen=True, slots=True)
class Held:
    """Where hands, or the bearers of a lifting aid, go: whole mm along the edge `along`, which is
    `length` long, from its left or lower end."""

    by: Literal["people", "aid"]
    along: Edge
    length: float
    places: tuple[int, ...]


def hold(burden: Burden, people: int | None) -> Held:
    """`people` that lift it, None for a lifting aid."""
    places = hold_places(burden, people or BEARERS)
    return Held(
        by="people" if people else "aid",
        along=burden.along,
        length=burden.length,
        places=tuple(round(place) for place in places),
    )


def framed(mass: float, along: Edge, width: float, height: float, *, filling: float) -> Burden:
    """A frame or sash whose profiles weigh the same everywhere along its four edges; `filling` is
    how much of its mass lies between them, spread evenly: panes, or sashes that hang in it."""
    length, other = (width, height) if along == "width" else (height, width)
    profiles = mass - filling
    return Burden(mass, along, length, other, at_ends=profiles * other / (length + other))


def hold_places(burden: Burden, people: int) -> tuple[float, ...]:
    """Where each takes hold, mm from the left or lower end of the edge, in order.

    Nobody can hold beyond the ends: where the mass sits so far out that they would have to, the
    outermost hold the ends.
    """
    middle = burden.length / 2
    if people == 1:
        return (middle,)
    spacing = min(sqrt(_mean_square(burden) * 12 / (people**2 - 1)), burden.length / (people - 1))
    first = middle - spacing * (people - 1) / 2
    return tuple(first + spacing * place for place in range(people))


def greatest_share(burden: Burden, people: int, steps: Steps) -> float:
    """The share of the mass that the lowest carries on steps, 1 / people on the flat.

    The hands hold the lower edge, so the middle of the mass leans out downhill over it: about the
    middle of the hands it turns with mass x height / 2 x tan(tilt), which hands that carry in
    proportion to their distance from the middle take up. Beyond 2 / people it tips: the uppermost
    would have to hold it down.
    """
    if people == 1:
        return 1.0
    middle = burden.length / 2
    hands = [place - middle for place in hold_places(burden, people)]
    outermost = hands[-1]
    steepest = sin(radians(steps.pitch))
    tilt = asin(min(steps.number * steps.rise / (2 * outermost), steepest))
    mean_square = sum(hand * hand for hand in hands) / people
    return (1 + burden.height / 2 * tan(tilt) * outermost / mean_square) / people


def _mean_square(burden: Burden) -> float:
    """k^2 of the mass along the edge, mm2."""
    ends = burden.at_ends / burden.mass
    return burden.length**2 * ((1 - ends) / 12 + ends / 4)
