"""By how much every support of a chain is lifted so that its gaps become as even as they can."""

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from installs.arithmetic.chains import RunningGearRequest, following

Numbers = npt.NDArray[np.float64]
FINEST_MM = 6
"""Decimals of a mm that are kept; the optimiser is exact to fewer."""
SLACK_MM = 1e-7


def least_lifts(request: RunningGearRequest) -> Numbers:
    """The lift of every junction's support, mm, 0 where it has none that moves.

    Two linear programmes: first the smallest largest difference, then the least movement that
    reaches it. A lift is written as what goes up less what goes down, both at least 0.
    """
    moving = [index for index, junction in enumerate(request.junctions) if junction.moves]
    lifts = np.zeros(len(request.junctions))
    if moving:
        lifts[moving] = _optimum_of(request, following(request.junctions)[:, moving], moving)
    return lifts


def _optimum_of(request: RunningGearRequest, follows: Numbers, moving: Sequence[int]) -> Numbers:
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
