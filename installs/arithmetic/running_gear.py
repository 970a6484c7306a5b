"""Which carrier is lifted by how much, so that head and sill gaps become equal along a chain.

A lift at a carrier closes the head gap and opens the sill gap there by the same amount. Junctions
without a support of their own follow: between two supports by straight lines, beyond the last one
together with it. Lengths in mm, a lift is positive upwards. Sources: the geometry of stiff leaves
(closed form); equal gaps as the aim (common practice, no source).
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

import numpy as np
import numpy.typing as npt

from installs.arithmetic.chains import ChainJunction, RunningGearRequest
from jobs.arithmetic.errors import UnusableInput
from jobs.sentences import sentence

Numbers = npt.NDArray[np.float64]
Fault = Literal["frame_fault", "sash_fault"]
SOURCES = (
    sentence("a lift closes the gap at the head and opens the one at the sill: closed form"),
    sentence("gaps at head and sill are equal at every junction: common practice, no source"),
)
CAUTIONS = (
    sentence("Hold an open sash up while its running gear is turned: it overbalances."),
    sentence(
        "Keep hands off the meeting edges; turn in small steps and try the leaves in between."
    ),
)
FINEST_MM = 6
"""Decimals of a mm that are kept; the optimiser is exact to fewer."""
SLACK_MM = 1e-7
FAULTS: dict[Fault, str] = {
    "frame_fault": sentence("the frame is out of level here: pack head or sill, or move the hinge"),
    "sash_fault": sentence("the sash is out of square here: brace it again on its blocks"),
}


@dataclass(frozen=True, slots=True)
class CarrierLift:
    """`junction` counts from 0 at the chain's jamb; positive is up."""

    junction: int
    lift: float
    turns: float
    at_range_end: bool


@dataclass(frozen=True, slots=True)
class ExpectedGaps:
    """What is to be read at a junction once everything is set."""

    junction: int
    head_gap: float
    sill_gap: float
    residual: float


@dataclass(frozen=True, slots=True)
class GearFault:
    """What no carrier can cure at a junction, and by how many mm of gap difference."""

    junction: int
    fault: Fault
    excess: float
    advice: str


@dataclass(frozen=True, slots=True)
class RunningGearAnswer:
    """`residual` is head gap less sill gap at each junction once set; `cause` the worst fault."""

    adjustments: tuple[CarrierLift, ...]
    residual: tuple[float, ...]
    gaps: tuple[ExpectedGaps, ...]
    within_tolerance: bool
    cause: Fault | None
    faults: tuple[GearFault, ...]
    warnings: tuple[str, ...]
    sources: tuple[str, ...] = SOURCES
    cautions: tuple[str, ...] = CAUTIONS


def set_running_gear(request: RunningGearRequest) -> RunningGearAnswer:
    """Lifts that make the largest difference of gaps as small as possible, and among those the
    least movement in total. Raises `UnusableInput` for a chain that cannot be."""
    _check(request)
    chain = request.junctions
    follows = _following(chain)
    moving = [index for index, junction in enumerate(chain) if junction.moves]
    lifts = np.zeros(len(chain))
    if moving:
        lifts[moving] = _least_lifts(request, follows[:, moving], moving)
    # Adding nought turns the optimiser's minus nought into plain nought.
    moved = np.round(follows @ lifts, FINEST_MM) + 0.0
    gaps = tuple(
        _expected(index, junction, float(moved[index])) for index, junction in enumerate(chain)
    )
    within = max(abs(gap.residual) for gap in gaps) <= request.tolerance
    faults = () if within else _faults(request, follows)
    worst = max(faults, key=lambda fault: fault.excess, default=None)
    return RunningGearAnswer(
        adjustments=tuple(_carrier_lift(index, float(lifts[index]), request) for index in moving),
        residual=tuple(gap.residual for gap in gaps),
        gaps=gaps,
        within_tolerance=within,
        cause=worst.fault if worst else None,
        faults=faults,
        warnings=tuple(
            sentence(
                "Junction {junction} would be left without a gap; its leaf would strike.",
                junction=gap.junction,
            )
            for gap in gaps
            if min(gap.head_gap, gap.sill_gap) <= 0
        ),
    )


def _check(request: RunningGearRequest) -> None:
    if len(request.junctions) < 2:  # noqa: PLR2004 a leaf has two sides
        raise UnusableInput(
            "/junctions", sentence("give both sides of every leaf, two junctions or more")
        )
    if request.lift_per_turn <= 0:
        raise UnusableInput("/lift_per_turn", sentence("give more than 0 mm"))
    for index, (here, beyond) in enumerate(pairwise(request.junctions), start=1):
        if beyond.at <= here.at:
            raise UnusableInput(
                f"/junctions/{index}/at",
                sentence(
                    "{beyond:g} mm is not beyond {here:g} mm; go from the jamb outwards",
                    beyond=beyond.at,
                    here=here.at,
                ),
            )
    for index, junction in enumerate(request.junctions):
        if abs(junction.lifted) > request.adjustment_range:
            raise UnusableInput(
                f"/junctions/{index}/lifted",
                sentence(
                    "{lifted:g} mm is beyond the range; give at most {most:g} either way",
                    lifted=junction.lifted,
                    most=request.adjustment_range,
                ),
            )


def _following(chain: Sequence[ChainJunction]) -> Numbers:
    """Row j, column i: by what share junction j moves when the support at junction i is lifted."""
    supports = [index for index, junction in enumerate(chain) if junction.support != "none"]
    shares = np.zeros((len(chain), len(chain)))
    if supports:
        places = [junction.at for junction in chain]
        held = [places[index] for index in supports]
        for index, unit in zip(supports, np.eye(len(supports)), strict=True):
            shares[:, index] = np.interp(places, held, unit)
    return shares


def _least_lifts(request: RunningGearRequest, follows: Numbers, moving: Sequence[int]) -> Numbers:
    """Two linear programmes: first the smallest largest difference, then the least movement that
    reaches it. A lift is written as what goes up less what goes down, both at least 0."""
    difference = np.array([junction.difference for junction in request.junctions])
    effect = np.hstack([2 * follows, -2 * follows])
    count = effect.shape[1]
    bounds = _bounds(request, moving)
    largest = np.ones((len(difference), 1))
    # |difference - effect @ lifts| <= largest, as two rows for every junction.
    first = _optimum(
        cost=np.append(np.zeros(count), 1.0),
        rows=np.vstack([np.hstack([-effect, -largest]), np.hstack([effect, -largest])]),
        limits=np.concatenate([-difference, difference]),
        bounds=[*bounds, (0.0, None)],
    )
    reached = first[-1] + SLACK_MM
    second = _optimum(
        cost=np.ones(count),
        rows=np.vstack([-effect, effect]),
        limits=np.concatenate([reached - difference, reached + difference]),
        bounds=bounds,
    )
    up, down = np.split(second, 2)
    lifts: Numbers = np.round(up - down, FINEST_MM)
    return lifts


def _bounds(request: RunningGearRequest, moving: Sequence[int]) -> list[tuple[float, float | None]]:
    """How far each support can still go up, then how far each can still go down."""
    lifted = [request.junctions[index].lifted for index in moving]
    up = [(0.0, request.adjustment_range - by) for by in lifted]
    down = [(0.0, request.adjustment_range + by) for by in lifted]
    return [*up, *down]


def _optimum(
    *,
    cost: Numbers,
    rows: Numbers,
    limits: Numbers,
    bounds: Sequence[tuple[float, float | None]],
) -> Numbers:
    # Loaded here: most of what imports this module never asks for an optimum.
    from scipy.optimize import linprog  # noqa: PLC0415

    lifts: Numbers = linprog(cost, A_ub=rows, b_ub=limits, bounds=bounds, method="highs").x
    return lifts


def _carrier_lift(index: int, lift: float, request: RunningGearRequest) -> CarrierLift:
    distance = abs(request.junctions[index].lifted + lift)
    return CarrierLift(
        junction=index,
        lift=lift + 0.0,
        turns=round(lift / request.lift_per_turn, FINEST_MM) + 0.0,
        at_range_end=distance >= request.adjustment_range - SLACK_MM,
    )


def _expected(index: int, junction: ChainJunction, moved: float) -> ExpectedGaps:
    head, sill = junction.head_gap - moved, junction.sill_gap + moved
    return ExpectedGaps(
        index,
        round(head, FINEST_MM),
        round(sill, FINEST_MM),
        round(head - sill, FINEST_MM),
    )


def _faults(request: RunningGearRequest, follows: Numbers) -> tuple[GearFault, ...]:
    """A support that cannot be lifted far enough is on a frame out of level; a junction that
    is off the straight line between its supports belongs to a sash out of square."""
    chain = request.junctions
    difference = np.array([junction.difference for junction in chain])
    off_line = difference - follows @ difference
    faults = []
    for index, junction in enumerate(chain):
        held = junction.support != "none"
        fault: Fault = "frame_fault" if held else "sash_fault"
        excess = (
            _out_of_reach(junction, request.adjustment_range)
            if held
            else abs(float(off_line[index]))
        )
        faults.append(GearFault(index, fault, round(excess, FINEST_MM), FAULTS[fault]))
    beyond = tuple(fault for fault in faults if fault.excess > request.tolerance)
    # Several small ones may add up to what none of them is alone: then the worst is named.
    return beyond or (max(faults, key=lambda fault: fault.excess),)


def _out_of_reach(junction: ChainJunction, adjustment_range: float) -> float:
    """What is left of the difference once the support is at the end of its range."""
    if not junction.moves:
        return abs(junction.difference)
    up = adjustment_range - junction.lifted
    down = adjustment_range + junction.lifted
    reach = up if junction.difference > 0 else down
    return max(0.0, abs(junction.difference) - 2 * reach)
