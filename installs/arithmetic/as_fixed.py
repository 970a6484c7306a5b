"""Fixings as they were made, against the places where they were planned."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil


@dataclass(frozen=True, slots=True)
class AsFixed:
    """mm from the member's low end: planned places without a fixing, fixings beside no planned
    place, and pairs of the two that belong together (planned, fixed) but lie too far apart."""

    missing: tuple[float, ...]
    added: tuple[float, ...]
    moved: tuple[tuple[float, float], ...]


def fewest_for_length(
    length: float, *, end_max: float, max_centres: float, min_fixings: int
) -> int:
    """How many fixings a member of this length, mm, needs at least, wherever they can go: what its
    end zones and greatest centres ask for."""
    return max(min_fixings, ceil(max(0.0, length - 2 * end_max) / max_centres) + 1)


def count_apart(fixed: Sequence[float], least_apart: float) -> int:
    """How many of these places, mm, lie at least so far from one another: as many as hold."""
    count, last = 0, float("-inf")
    for place in sorted(fixed):
        if place - last >= least_apart:
            count, last = count + 1, place
    return count


def planned_without_fixing(
    planned: Sequence[float], fixed: Sequence[float], within: float
) -> tuple[float, ...]:
    """Planned places, mm, beside which no fixing of their own sits `within` mm either way.

    Both are taken from the low end, so that one fixing never answers for two planned places and no
    pairing would serve more of them.
    """
    left_over = sorted(fixed)
    unserved = []
    for place in sorted(planned):
        while left_over and left_over[0] < place - within:
            left_over.pop(0)
        if left_over and left_over[0] <= place + within:
            left_over.pop(0)
        else:
            unserved.append(place)
    return tuple(unserved)


def compare_fixings(
    planned: Sequence[float], fixed: Sequence[float], *, within: float, moved_within: float
) -> AsFixed:
    """Fixings as made against their plan. A planned place that no fixing serves `within` mm, and
    the nearest fixing that serves none, are one fixing that was moved up to `moved_within` mm."""
    missing = list(planned_without_fixing(planned, fixed, within))
    added = list(planned_without_fixing(fixed, planned, within))
    moved: list[tuple[float, float]] = []
    while pairs := [
        (abs(made - place), place, made)
        for place in missing
        for made in added
        if abs(made - place) <= moved_within
    ]:
        _, place, made = min(pairs)
        moved.append((place, made))
        missing.remove(place)
        added.remove(made)
    return AsFixed(tuple(missing), tuple(added), tuple(sorted(moved)))
