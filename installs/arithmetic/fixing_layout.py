"""Where the fixings of each frame member go, on whole millimetres from its left or foot end.

Among all layouts that keep the rules: the fewest fixings, then the smallest largest distance
between centres, then the most even one (least sum of squared distances).
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import numpy.typing as npt

Stretch = tuple[float, float]
Places = npt.NDArray[np.bool_]
SOURCES = ("NHBC Standards 6.7.11 Installation", "even spacing: common practice, no source")
CAUTIONS = (
    "Look for hidden pipes and cables before drilling; wear eye protection.",
    "The fixing's own assessment decides its edge distance, depth and load in this wall.",
)


@dataclass(frozen=True, slots=True)
class Member:
    """A side of the frame: stretches in mm from its left or foot end.

    `kept_out` is where no fixing may sit; `reachable` where one can be put at all (everywhere when
    None).
    """

    name: str
    length: float
    kept_out: tuple[Stretch, ...] = ()
    reachable: tuple[Stretch, ...] | None = None


@dataclass(frozen=True, slots=True)
class FixingRules:
    """Distances in mm. Members up to `one_fixing_up_to` are too short for two end zones and get
    one fixing near their middle."""

    end_min: float
    end_max: float
    max_centres: float
    min_fixings: int
    clear_of: float
    one_fixing_up_to: float


@dataclass(frozen=True, slots=True)
class MemberLayout:
    """`positions` is None, with a `reason`, where the rules leave no layout."""

    name: str
    length: float
    positions: tuple[int, ...] | None
    centres: tuple[int, ...]
    count: int
    reason: str | None
    note: str | None


def lay_out_fixings(members: Sequence[Member], rules: FixingRules) -> tuple[MemberLayout, ...]:
    """One layout per member."""
    return tuple(_lay_out(member, rules) for member in members)


def _lay_out(member: Member, rules: FixingRules) -> MemberLayout:
    allowed = _allowed_places(member, rules)
    if member.length <= rules.one_fixing_up_to:
        return _short_member(member, allowed, rules)
    first = allowed & _between(member, rules.end_min, rules.end_max)
    last = allowed & _between(member, member.length - rules.end_max, member.length - rules.end_min)
    centres = int(rules.max_centres)
    count = _fewest(first, last, allowed, centres, rules.min_fixings)
    if count is None:
        return _impossible(member, _why(member, first, last, allowed, rules))
    largest = _smallest_largest(first, last, allowed, count, centres)
    return _layout(member, _most_even(first, last, allowed, count, largest))


def _allowed_places(member: Member, rules: FixingRules) -> Places:
    allowed = np.zeros(int(member.length) + 1, dtype=bool)
    for start, end in member.reachable or ((0, member.length),):
        allowed |= _between(member, start, end)
    places = np.arange(len(allowed))
    for start, end in member.kept_out:
        # A place on the very edge of a stretch is outside it.
        allowed &= (places <= start - rules.clear_of) | (places >= end + rules.clear_of)
    return allowed


def _between(member: Member, start: float, end: float) -> Places:
    places = np.arange(int(member.length) + 1)
    return (places >= start) & (places <= end)


def _next_places(from_places: Places, allowed: Places, largest: int) -> Places:
    """Allowed places within `largest` mm beyond any of `from_places`."""
    counted = np.concatenate(([0], np.cumsum(from_places)))
    places = np.arange(len(allowed))
    before = counted[places] - counted[np.maximum(0, places - largest)]
    return allowed & (before > 0)


def _fewest(first: Places, last: Places, allowed: Places, largest: int, least: int) -> int | None:
    """The smallest possible number of fixings from `least` up, or None when no chain arrives."""
    reached = first
    for count in range(1, len(allowed) + 1):
        if count >= least and (reached & last).any():
            return count
        reached = _next_places(reached, allowed, largest)
        if not reached.any():
            return None
    return None


def _smallest_largest(
    first: Places, last: Places, allowed: Places, count: int, largest: int
) -> int:
    """The smallest greatest distance with which `count` fixings still arrive, by bisection."""
    if count == 1:
        return 0
    low, high = 1, largest
    while low < high:
        middle = (low + high) // 2
        if _arrives(first, last, allowed, count, middle):
            high = middle
        else:
            low = middle + 1
    return low


def _arrives(first: Places, last: Places, allowed: Places, count: int, largest: int) -> bool:
    reached = first
    for _ in range(count - 1):
        reached = _next_places(reached, allowed, largest)
    return bool((reached & last).any())


def _most_even(
    first: Places, last: Places, allowed: Places, count: int, largest: int
) -> tuple[int, ...]:
    """The chain of `count` places with no distance beyond `largest` and least squared distances."""
    layers = _useful_places(first, last, allowed, count, largest)
    cost = np.zeros(len(layers[0]))
    came_from: list[npt.NDArray[np.int64]] = []
    for before, after in pairwise(layers):
        distance = (after[None, :] - before[:, None]).astype(float)
        possible = (distance > 0) & (distance <= largest)
        arriving = cost[:, None] + np.where(possible, distance**2, np.inf)
        origin = np.argmin(arriving, axis=0)
        cost = arriving[origin, np.arange(len(after))]
        came_from.append(origin)
    index = int(np.argmin(cost))
    positions = [int(layers[-1][index])]
    for layer, origin in zip(reversed(layers[:-1]), reversed(came_from), strict=True):
        index = int(origin[index])
        positions.append(int(layer[index]))
    return tuple(reversed(positions))


def _useful_places(
    first: Places, last: Places, allowed: Places, count: int, largest: int
) -> list[npt.NDArray[np.int64]]:
    """For each fixing in turn, the places that can be reached from the first end zone and from
    which the last one can still be reached."""
    forward, backward = [first], [last[::-1]]
    for _ in range(count - 1):
        forward.append(_next_places(forward[-1], allowed, largest))
        backward.append(_next_places(backward[-1], allowed[::-1], largest))
    return [
        np.flatnonzero(there & back[::-1])
        for there, back in zip(forward, reversed(backward), strict=True)
    ]


def _short_member(member: Member, allowed: Places, rules: FixingRules) -> MemberLayout:
    """One fixing, as near to the middle as the member allows."""
    places = np.flatnonzero(allowed)
    if not len(places):
        return _impossible(member, f"all of it, 0 to {member.length:g} mm, is kept out")
    middle = int(places[np.argmin(abs(places - member.length / 2))])
    note = f"too short for two end zones (up to {rules.one_fixing_up_to:g} mm): one fixing"
    return _layout(member, (middle,), note)


def _layout(member: Member, positions: tuple[int, ...], note: str | None = None) -> MemberLayout:
    centres = tuple(b - a for a, b in pairwise(positions))
    return MemberLayout(member.name, member.length, positions, centres, len(positions), None, note)


def _impossible(member: Member, reason: str) -> MemberLayout:
    return MemberLayout(member.name, member.length, None, (), 0, reason, None)


def _why(member: Member, first: Places, last: Places, allowed: Places, rules: FixingRules) -> str:
    """Names the stretch that makes a layout impossible."""
    ends = (
        (first, rules.end_min, rules.end_max),
        (last, member.length - rules.end_max, member.length - rules.end_min),
    )
    for zone, start, end in ends:
        if not zone.any():
            return f"no fixing can sit in the end zone from {start:g} to {end:g} mm"
    reached = furthest = first
    while reached.any():
        furthest = reached
        reached = _next_places(reached, allowed, int(rules.max_centres))
        if np.array_equal(reached, furthest):
            break
    start = int(np.flatnonzero(furthest)[-1])
    beyond = np.flatnonzero(allowed[start + 1 :])
    end = start + 1 + int(beyond[0]) if len(beyond) else int(member.length)
    return (
        f"nothing can be fixed between {start} and {end} mm, {end - start} mm apart; "
        f"centres may not exceed {rules.max_centres:g} mm"
    )
