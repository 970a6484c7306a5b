"""Where the fixings of each frame member go, on whole millimetres from its left or foot end.

Among all layouts that keep the rules: the fewest fixings, then the smallest largest distance
between centres, then the most even one: its smallest distance is as great as can be, and among
those the squared distances add up to the least.
"""

from bisect import bisect_left
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import reduce
from itertools import pairwise
from math import ceil, floor
from operator import or_

import numpy as np
import numpy.typing as npt

from installs.arithmetic.members import FixingRules, Member, MemberLayout
from installs.arithmetic.places import (
    Places,
    between,
    highest,
    in_mm,
    lowest,
    next_places,
    spread,
)
from jobs.arithmetic.errors import UnusableInput
from jobs.sentences import Sentence, StoredSentence, sentence

# Notes and reasons, which plans store; mm.
ONE_SHORT = StoredSentence("too short for two fixings (up to {most:g} mm long): one fixing")
ONE_CLOSE = StoredSentence(
    "too short for two fixings (no two places {distance:g} mm apart): one fixing"
)
TWO_APART = StoredSentence("too short for two end zones of {end_zone:g} mm: two fixings, far apart")
ALL_KEPT_OUT = StoredSentence("all of it, 0 to {length:g} mm, is kept out")
END_ZONE_CLOSED = StoredSentence("no fixing can sit in the end zone from {start:g} to {end:g} mm")
NO_PLACE_FOR_ALL = StoredSentence(
    "{count} fixings at least {distance:g} mm apart find no place between {start:g} and {end:g} mm"
)
STRETCH_TOO_LONG = StoredSentence(
    "nothing can be fixed between {start} and {end} mm; centres are to be {least:g} to {most:g} mm"
)


def lay_out_fixings(members: Sequence[Member], rules: FixingRules) -> tuple[MemberLayout, ...]:
    """One layout per member.

    Raises `UnusableInput` for rules or kept-out stretches that run backwards.
    """
    _check_rules(rules)
    for index, member in enumerate(members):
        _check_member(member, f"/members/{index}")
    return tuple(_lay_out(member, rules) for member in members)


def _check_rules(rules: FixingRules) -> None:
    if not 0 <= rules.end_min <= rules.end_max:
        raise UnusableInput(
            "/rules/end_max", sentence("give {least:g} mm (end_min) or more", least=rules.end_min)
        )
    if rules.max_centres < 1:
        raise UnusableInput("/rules/max_centres", sentence("give 1 mm or more"))
    if not 1 <= ceil(rules.least_apart) <= int(rules.max_centres):
        raise UnusableInput(
            "/rules/least_apart", sentence("give 1 to {most} mm", most=int(rules.max_centres))
        )
    if rules.clear_of < 0:
        raise UnusableInput("/rules/clear_of", sentence("give 0 mm or more"))


def _check_member(member: Member, pointer: str) -> None:
    if member.length <= 0:
        raise UnusableInput(
            f"{pointer}/length", sentence("{length:g} mm is no length", length=member.length)
        )
    for index, (start, end) in enumerate(member.kept_out):
        if start > end:
            raise UnusableInput(
                f"{pointer}/kept_out/{index}",
                sentence(
                    "runs backwards from {start:g} to {end:g} mm; give the lower end first",
                    start=start,
                    end=end,
                ),
            )


def _lay_out(member: Member, general: FixingRules) -> MemberLayout:
    rules = general
    if member.end_zone:
        rules = replace(general, end_min=member.end_zone[0], end_max=member.end_zone[1])
    allowed = _allowed_places(member, rules)
    if member.length <= rules.one_fixing_up_to:
        return _one_fixing(member, allowed, ONE_SHORT(most=rules.one_fixing_up_to))
    first = allowed & between(rules.end_min, rules.end_max, member.length)
    last = allowed & between(
        member.length - rules.end_max, member.length - rules.end_min, member.length
    )
    if reason := _why_an_end_is_impossible(member, first, last, rules):
        return _impossible(member, reason)
    furthest = lowest(first), highest(last)
    if _is_short(member, rules) and furthest[1] - furthest[0] <= rules.max_centres:
        return _lay_out_short(member, furthest, allowed, rules)
    smallest, largest = ceil(rules.least_apart), int(rules.max_centres)
    count = _fewest(first, last, allowed, (smallest, largest), rules.min_fixings)
    if count is None:
        return _impossible(member, _why_impossible(member, first, last, allowed, rules))
    chain = _Chain(first, last, allowed, count)
    return _layout(member, _most_even(chain, *_closest_and_most_even(chain, smallest, largest)))


def _allowed_places(member: Member, rules: FixingRules) -> Places:
    allowed = 0
    everywhere = ((0, member.length),)
    for start, end in everywhere if member.reachable is None else member.reachable:
        allowed |= between(start, end, member.length)
    for start, end in member.kept_out:
        # A place on the very edge of a stretch is outside it.
        inside = floor(start - rules.clear_of) + 1, ceil(end + rules.clear_of) - 1
        allowed &= ~between(*inside, member.length)
    return allowed


def _fewest(
    first: Places, last: Places, allowed: Places, centres: tuple[int, int], least: int
) -> int | None:
    """The smallest possible number of fixings from `least` up, or None when no chain arrives.

    `centres`: the smallest and largest distance between two, mm.
    """
    for count, reached in enumerate(_steps(first, allowed, *centres), start=1):
        if count >= least and reached & last:
            return count
    return None


def _steps(first: Places, allowed: Places, smallest: int, largest: int) -> Iterator[Places]:
    """The places that one, two, three ... fixings can reach, until none can."""
    reached = first
    while reached:
        yield reached
        reached = next_places(reached, allowed, smallest, largest)


@dataclass(frozen=True, slots=True)
class _Chain:
    """What `count` fixings have to keep to: the first and last zone and every allowed place."""

    first: Places
    last: Places
    allowed: Places
    count: int

    def arrives(self, smallest: int, largest: int) -> bool:
        """Whether it can be laid with every distance from `smallest` to `largest` mm."""
        return bool(self.layers(smallest, largest)[-1])

    def layers(self, smallest: int, largest: int) -> list[Places]:
        """For each fixing in turn the places it can reach; the last within the last zone."""
        layers = [self.first]
        for _ in range(self.count - 1):
            layers.append(next_places(layers[-1], self.allowed, smallest, largest))
        layers[-1] &= self.last
        return layers


def _closest_and_most_even(chain: _Chain, least: int, most: int) -> tuple[int, int]:
    """The smallest distance between centres of the best layout, and its largest, out of `least`
    to `most` mm."""
    distances = range(least, most + 1)
    largest = distances[bisect_left(distances, True, key=lambda mm: chain.arrives(least, mm))]
    shorter = range(least, largest + 1)
    beyond = bisect_left(shorter, True, key=lambda mm: not chain.arrives(mm, largest))
    return shorter[beyond - 1], largest


def _most_even(chain: _Chain, smallest: int, largest: int) -> tuple[int, ...]:
    """The chain with every distance from `smallest` to `largest` and least squared distances."""
    layers = _useful_places(chain, smallest, largest)
    cost = np.zeros(len(layers[0]))
    came_from: list[npt.NDArray[np.int64]] = []
    for before, after in pairwise(layers):
        distance = (after[None, :] - before[:, None]).astype(float)
        possible = (distance >= smallest) & (distance <= largest)
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


def _useful_places(chain: _Chain, smallest: int, largest: int) -> list[npt.NDArray[np.int64]]:
    """For each fixing in turn, the places that can be reached from the first end zone and from
    which the last one can still be reached."""
    layers = chain.layers(smallest, largest)
    for index in range(chain.count - 2, -1, -1):
        # Spreading `largest` down is spreading up from `largest` further down.
        layers[index] &= spread(layers[index + 1], largest - smallest) >> largest
    return [in_mm(layer) for layer in layers]


def _is_short(member: Member, rules: FixingRules) -> bool:
    return member.length < 2 * rules.end_max + rules.least_apart


def _lay_out_short(
    member: Member, furthest: tuple[int, int], allowed: Places, rules: FixingRules
) -> MemberLayout:
    """Two fixings far apart: the closest centres would put both in one hole."""
    if furthest[1] - furthest[0] < rules.least_apart:
        return _one_fixing(member, allowed, ONE_CLOSE(distance=rules.least_apart))
    return _layout(member, furthest, TWO_APART(end_zone=rules.end_max))


def _one_fixing(member: Member, allowed: Places, note: Sentence) -> MemberLayout:
    """One fixing, as near to the middle as the member allows."""
    places = in_mm(allowed)
    if not len(places):
        return _impossible(member, ALL_KEPT_OUT(length=member.length))
    middle = int(places[np.argmin(abs(places - member.length / 2))])
    return _layout(member, (middle,), note)


def _layout(member: Member, positions: tuple[int, ...], note: str | None = None) -> MemberLayout:
    centres = tuple(b - a for a, b in pairwise(positions))
    return MemberLayout(member.name, member.length, positions, centres, len(positions), None, note)


def _impossible(member: Member, reason: Sentence) -> MemberLayout:
    return MemberLayout(member.name, member.length, None, (), 0, reason, None)


def _why_an_end_is_impossible(
    member: Member, first: Places, last: Places, rules: FixingRules
) -> Sentence | None:
    ends = (
        (first, rules.end_min, rules.end_max),
        (last, member.length - rules.end_max, member.length - rules.end_min),
    )
    for zone, start, end in ends:
        if not zone:
            return END_ZONE_CLOSED(start=float(start), end=float(end))
    return None


def _why_impossible(
    member: Member, first: Places, last: Places, allowed: Places, rules: FixingRules
) -> Sentence:
    """Names the stretch that no chain of fixings crosses, or that is too short for so many."""
    smallest, largest = ceil(rules.least_apart), int(rules.max_centres)
    reached = reduce(or_, _steps(first, allowed, smallest, largest))
    if reached & last:
        return NO_PLACE_FOR_ALL(
            count=rules.min_fixings,
            distance=rules.least_apart,
            start=rules.end_min,
            end=member.length - rules.end_min,
        )
    start = highest(reached & between(0, highest(last), member.length))
    beyond = allowed & between(start + smallest, member.length, member.length)
    end = lowest(beyond) if beyond else highest(last)
    return STRETCH_TOO_LONG(start=start, end=end, least=rules.least_apart, most=rules.max_centres)
