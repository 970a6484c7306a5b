"""Where folded leaves stand and what they sweep, in plan: a chain of hinged plates, exact.

Places are (x, y) in mm: x from the left edge of the frame as seen from outside, y from the leaves'
face on the side that they fold to, away from the frame.

Source: geometry of rigid plates. A chain folds only if its pins stand where the faces come
together: those of the jamb and the carriers in the face on the side of the stack (y = 0), those of
the knuckles in the other face. So each leaf is a plate with pins in two opposite corners. Half of
each gap between leaves belongs to either leaf, so that folded leaves keep it between them. Hinges
that stand off their leaves move this by a few millimetres: the maker's own plan prevails.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise
from math import asin, atan2, cos, hypot, pi, sin

from jobs.arithmetic.fold import Fold, Side

Point = tuple[float, float]
Corners = tuple[Point, Point, Point, Point]
# Positions of a pair between closed and folded at which its sweep is looked at: that of leaves of a
# metre comes out less than a tenth of a millimetre too small.
STEPS = 120
FINEST = 1e-6


@dataclass(frozen=True, slots=True)
class FoldingChains:
    """What leaves stand and sweep by: mm. A leaf is taken as thick as its frame is deep, which it
    is at most; `widths` from the left."""

    frame_width: float
    frame_face: float
    leaf_gap: float
    leaf_thickness: float
    fold: Fold
    widths: tuple[float, ...]

    @property
    def depth(self) -> float:
        """Of a leaf with its share of the gap, mm."""
        return self.leaf_thickness + self.leaf_gap

    def modules(self, side: Side) -> tuple[float, ...]:
        """Widths of the leaves of a chain with their gaps, from its jamb."""
        widths = [width + self.leaf_gap for width in self.widths]
        if side == "left":
            return tuple(widths[: self.fold.left])
        return tuple(reversed(widths[self.fold.left :]))

    def at(self, side: Side, place: Point) -> Point:
        """From a place counted from a chain's jamb to one counted from the left."""
        x = self.frame_face + self.leaf_gap / 2 + place[0]
        return (x if side == "left" else self.frame_width - x), place[1]


@dataclass(frozen=True, slots=True)
class FoldedStack:
    """The folded leaves of a chain, mm: `thickness` along the wall, face to face; `projection` out
    of the leaves' plane; from `start` to `end` along the frame."""

    jamb: Side
    leaves: int
    thickness: float
    projection: float
    start: float
    end: float


@dataclass(frozen=True, slots=True)
class LeafInPlan:
    """A leaf by its number from the left, with the corners of its plate."""

    number: int
    corners: Corners


def chain_sides(fold: Fold) -> tuple[Side, ...]:
    sides: tuple[Side, ...] = ("left", "right")
    return tuple(side for side in sides if (fold.left if side == "left" else fold.right))


def folded_stacks(chains: FoldingChains) -> tuple[FoldedStack, ...]:
    """Where the leaves stand once all are folded."""
    return tuple(_stack(chains, side) for side in chain_sides(chains.fold))


def leaves_in_plan(chains: FoldingChains, share: float) -> tuple[LeafInPlan, ...]:
    """All leaves from the left; `share` 0 where they are closed, 1 where they are folded."""
    left = _chain_in_plan(chains, "left", share)
    right = _chain_in_plan(chains, "right", share)
    return tuple(
        LeafInPlan(number, corners)
        for number, corners in enumerate((*left, *reversed(right)), start=1)
    )


def places_of_carriers(chains: FoldingChains, side: Side, share: float) -> tuple[float, ...]:
    """Where the carriers of a chain stand along the frame, the one nearest its jamb first: each
    after a pair of leaves, every pair folded alike. `share` as of `leaves_in_plan`."""
    places, pin = [], 0.0
    for unit in _units(chains.modules(side)):
        if len(unit) == 1:
            break
        pin += _unit_at(unit, chains.depth, share)[1]
        places.append(chains.at(side, (pin, 0.0))[0])
    return tuple(places)


def greatest_reach(chains: FoldingChains, start: float, end: float) -> float:
    """How far out any leaf comes between two places along the frame, mm, however it is folded.

    Pairs of leaves fold independently of each other, so each is looked at from every place that
    its pin can be pushed to. 0 where no leaf comes.
    """
    reaches = [
        _reach_of_chain(chains, side, *sorted(_from_jamb(chains, side, x) for x in (start, end)))
        for side in chain_sides(chains.fold)
    ]
    return max(reaches, default=0.0)


@lru_cache(maxsize=256)
def sweep_outline(chains: FoldingChains, points: int = 120) -> tuple[Point, ...]:
    """The outer edge of what the leaves sweep, from the left edge of the frame to the right."""
    places = [chains.frame_width * step / points for step in range(points + 1)]
    return tuple((x, greatest_reach(chains, x, x)) for x in places)


def _stack(chains: FoldingChains, side: Side) -> FoldedStack:
    modules = chains.modules(side)
    count, edge = len(modules), chains.leaf_gap / 2
    ends = [chains.at(side, (x, 0.0))[0] for x in (edge, count * chains.depth - edge)]
    return FoldedStack(
        jamb=side,
        leaves=count,
        thickness=count * chains.leaf_thickness + (count - 1) * chains.leaf_gap,
        projection=max(modules),
        start=min(ends),
        end=max(ends),
    )


def _chain_in_plan(chains: FoldingChains, side: Side, share: float) -> list[Corners]:
    """From the jamb; every pair is folded alike."""
    outlines: list[Corners] = []
    pin = 0.0
    for unit in _units(chains.modules(side)):
        plates, travel = _unit_at(unit, chains.depth, share)
        for plate in plates:
            a, b, c, d = (chains.at(side, (x + pin, y)) for x, y in plate)
            outlines.append((a, b, c, d))
        pin += travel
    return outlines


def _units(modules: tuple[float, ...]) -> Iterator[tuple[float, ...]]:
    """Pairs between two pins on the track, and the access leaf of an odd chain by itself."""
    for first in range(0, len(modules), 2):
        yield modules[first : first + 2]


def _unit_at(
    unit: tuple[float, ...], depth: float, share: float
) -> tuple[tuple[Corners, ...], float]:
    """Plates of a pair, or of a leaf by itself, and how far the pin after it stands from the one
    before it. The narrower leaf of a pair turns evenly with `share`; pins and knuckle of a pair are
    a triangle, so the other leaf follows."""
    turned = share * pi / 2
    if len(unit) == 1:
        return (_plate(unit[0], depth, turned),), unit[0]
    links = [hypot(width, depth) for width in unit]
    knuckle = min(links) * sin(turned - atan2(depth, min(unit)))
    slopes = [asin(knuckle / link) for link in links]
    travel = sum(link * cos(slope) for link, slope in zip(links, slopes, strict=True))
    first, second = (
        _plate(width, depth, slope + atan2(depth, width))
        for width, slope in zip(unit, slopes, strict=True)
    )
    a, b, c, d = ((travel - x, y) for x, y in second)
    return (first, (a, b, c, d)), travel


def _plate(width: float, depth: float, turned: float) -> Corners:
    """A leaf turned about the pin in its corner, by radians from closed."""
    a, b, c, d = (
        (x * cos(turned) - y * sin(turned), x * sin(turned) + y * cos(turned))
        for x, y in ((0.0, 0.0), (width, 0.0), (width, -depth), (0.0, -depth))
    )
    return a, b, c, d


def _from_jamb(chains: FoldingChains, side: Side, x: float) -> float:
    edge = chains.frame_face + chains.leaf_gap / 2
    return x - edge if side == "left" else chains.frame_width - edge - x


def _reach_of_chain(chains: FoldingChains, side: Side, start: float, end: float) -> float:
    """The pin of a unit can be pushed from where all leaves before it are folded to where they are
    closed; the unit reaches furthest out near its pin, and falls off beyond it."""
    reach, closed, folded = 0.0, 0.0, 0.0
    for unit in _units(chains.modules(side)):
        if end >= folded:
            pushed_to = min(max(start, folded), closed)
            reach = max(
                reach, _reach_of_unit(unit, chains.depth, start - pushed_to, end - pushed_to)
            )
        closed += sum(unit)
        folded += len(unit) * chains.depth
    return reach


def _reach_of_unit(unit: tuple[float, ...], depth: float, start: float, end: float) -> float:
    heights = (
        _highest_between(from_, to, start, end)
        for from_, to in _traced_by_unit(unit, depth)
        if from_[0] <= end + FINEST and to[0] >= start - FINEST
    )
    return max((0.0, *heights))


@lru_cache(maxsize=64)
def _traced_by_unit(unit: tuple[float, ...], depth: float) -> tuple[tuple[Point, Point], ...]:
    """The edges of each plate at every step, and the way of each corner from step to step, each
    from left to right: it is asked for at every place of an outline."""
    positions = [_unit_at(unit, depth, step / STEPS)[0] for step in range(STEPS + 1)]
    lines: list[tuple[Point, Point]] = []
    for plates in positions:
        for plate in plates:
            lines += zip(plate, (*plate[1:], plate[0]), strict=True)
    for before, after in pairwise(positions):
        for plate, moved in zip(before, after, strict=True):
            lines += zip(plate, moved, strict=True)
    return tuple((min(line), max(line)) for line in lines if max(line[0][1], line[1][1]) > 0)


def _highest_between(from_: Point, to: Point, start: float, end: float) -> float:
    """The greatest y between two places of a straight line that comes between them."""
    (x1, y1), (x2, y2) = from_, to
    if x2 - x1 < FINEST:
        return max(y1, y2)
    ends = (min(max(x, x1), x2) for x in (start, end))
    return max(y1 + (y2 - y1) * (x - x1) / (x2 - x1) for x in ends)
