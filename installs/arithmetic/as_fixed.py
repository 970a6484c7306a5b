"""Fixings as they were made, against the places where they were planned."""

from collections.abc import Sequence


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
