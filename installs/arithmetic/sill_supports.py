"""Where a sill is packed because it carries load there, and not because it is fixed there; mm.

Jambs stand on its ends, carriers on its track: closed and folded they stand in places that are
known, and on their way they roll over all of it. So a packer lies near each end, beside every such
place, and between them wherever the sill would span too far. A fixing has packers of its own, which
carry what stands beside it.

Source: common practice, no source. The maker's own plan of supports prevails.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import ceil
from typing import Literal

from installs.arithmetic.packers import PackerStack
from jobs.arithmetic.fold import Side
from jobs.arithmetic.stack import FoldingChains, chain_sides, places_of_carriers
from jobs.sentences import sentence

SOURCES = (
    sentence(
        "packers under what stands on the sill: common practice, no source; the maker's own plan "
        "prevails"
    ),
)

LoadKind = Literal[
    "end",
    "carrier_closed",
    "carrier_folded",
    "meeting_stiles",
    "traffic_door_hinges",
    "traffic_door_lock",
    "span",
]


@dataclass(frozen=True, slots=True)
class SupportRules:
    """`from_end`: from either end of the sill to its first packer; `spacing`: the greatest distance
    between two; `beside`: how far beside a packer what it carries may stand."""

    from_end: float
    spacing: float
    beside: float


@dataclass(frozen=True, slots=True)
class SillLoad:
    """What stands on the sill, `at` from its left end. `junction`: its number from the left, None
    for an end. A `span` is nothing but the sill itself, halfway between two packers."""

    kind: LoadKind
    at: float
    junction: int | None = None


@dataclass(frozen=True, slots=True)
class SupportPosition:
    """A place where the sill carries load, with what it carries there. `at_fixing`: the packers of
    a fixing do; `packers` is None where the joint has not been measured."""

    position: int
    carries: tuple[SillLoad, ...]
    at_fixing: bool
    packers: PackerStack | None = None


def loads_on_sill(chains: FoldingChains) -> tuple[SillLoad, ...]:
    """Everything but the ends and spans, from the left."""
    loads = [load for side in chain_sides(chains.fold) for load in _loads_of_chain(chains, side)]
    if not chains.fold.all_one_way:
        loads.append(_at_junction(chains, "left", chains.fold.left, "meeting_stiles"))
    return tuple(sorted(loads, key=lambda load: load.at))


def support_positions(
    length: float, loads: Sequence[SillLoad], fixings: Sequence[int], rules: SupportRules
) -> tuple[SupportPosition, ...]:
    """The fewest packers beside the fixings' own that carry all loads, from the left, on whole mm;
    then those that shorten what is still too long a span. None of them is made up yet."""
    ends = [SillLoad("end", at) for at in _near_ends(length, rules.from_end)]
    by_place: dict[int, list[SillLoad]] = {}
    alone = []
    for load in sorted((*ends, *loads), key=lambda load: load.at):
        fixing = min(fixings, key=lambda place: abs(place - load.at), default=None)
        if fixing is not None and abs(fixing - load.at) <= rules.beside:
            by_place.setdefault(fixing, []).append(load)
        else:
            alone.append(load)
    for group in _together(alone, 2 * rules.beside):
        by_place[round((group[0].at + group[-1].at) / 2)] = group
    for place in _between(sorted({*fixings, *by_place}), rules.spacing):
        by_place[place] = [SillLoad("span", place)]
    return tuple(
        SupportPosition(place, tuple(carried), at_fixing=place in fixings)
        for place, carried in sorted(by_place.items())
    )


def _loads_of_chain(chains: FoldingChains, side: Side) -> Iterator[SillLoad]:
    count = len(chains.modules(side))
    closed, folded = (places_of_carriers(chains, side, share) for share in (0.0, 1.0))
    for pair, (shut, open_) in enumerate(zip(closed, folded, strict=True), start=1):
        yield SillLoad("carrier_closed", round(shut, 1), _junction(chains, side, 2 * pair))
        yield SillLoad("carrier_folded", round(open_, 1), _junction(chains, side, 2 * pair))
    if count % 2:
        yield _at_junction(chains, side, count - 1, "traffic_door_hinges")
        yield _at_junction(chains, side, count, "traffic_door_lock")


def _at_junction(
    chains: FoldingChains, side: Side, leaves_from_jamb: int, kind: LoadKind
) -> SillLoad:
    """Closed, beyond so many leaves of its chain."""
    along = sum(chains.modules(side)[:leaves_from_jamb])
    at = chains.at(side, (along, 0.0))[0]
    return SillLoad(kind, round(at, 1), _junction(chains, side, leaves_from_jamb))


def _junction(chains: FoldingChains, side: Side, leaves_from_jamb: int) -> int:
    return leaves_from_jamb if side == "left" else chains.fold.leaves - leaves_from_jamb


def _near_ends(length: float, from_end: float) -> tuple[float, float]:
    """A sill too short for two packers gets one in its middle."""
    near = min(from_end, length / 2)
    return near, length - near


def _together(loads: Sequence[SillLoad], reach: float) -> Iterator[list[SillLoad]]:
    """Loads, ascending, that one packer in the middle of them carries: as many as it can."""
    group: list[SillLoad] = []
    for load in loads:
        if group and load.at - group[0].at > reach:
            yield group
            group = []
        group.append(load)
    if group:
        yield group


def _between(places: Sequence[int], spacing: float) -> Iterator[int]:
    """Evenly between places that lie further apart than `spacing`."""
    for left, right in pairwise(places):
        parts = ceil((right - left) / spacing)
        yield from (round(left + (right - left) * part / parts) for part in range(1, parts))
