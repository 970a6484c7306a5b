"""Where the wall would touch a frame first."""

import numpy as np

from surveys.arithmetic.answers import CriticalPlace
from surveys.arithmetic.clear_size import ClearSizes
from surveys.arithmetic.placement import Clearance, Frame, MemberName, Placement
from surveys.arithmetic.rows import Numbers
from surveys.arithmetic.side_prior import POINTS
from surveys.arithmetic.survey_rows import HEAD, LEFT, RIGHT, SILL
from surveys.arithmetic.walled_opening import WalledOpening

MEMBERS: tuple[MemberName, ...] = ("left", "right", "head", "sill")
# Places with less of it are not worth naming.
LEAST_PROBABILITY = 0.05
# Points on either side that are taken for the same place.
NEAR = 1


def critical_places(
    opening: WalledOpening,
    sizes: ClearSizes,
    placement: Placement,
    frame: Frame,
    clearance: Clearance,
) -> tuple[CriticalPlace, ...]:
    """The likeliest place of each member, the likeliest of all first."""
    first = _spare(sizes, placement, frame, clearance).argmin(axis=0)
    weights = sizes.weights.prod(axis=0)
    weights = weights / weights.sum()
    places = []
    for side, member in enumerate(MEMBERS):
        here = first == side
        masses = np.bincount(sizes.points[side][here], weights[here], POINTS)
        near = np.convolve(masses, np.ones(2 * NEAR + 1), mode="same")
        point = int(near.argmax())
        if near[point] >= LEAST_PROBABILITY:
            at = _along(opening, side, point, placement)
            places.append(CriticalPlace(member, at, round(float(near[point]), 3)))
    return tuple(sorted(places, key=lambda place: -place.probability))


def _spare(sizes: ClearSizes, placement: Placement, frame: Frame, clearance: Clearance) -> Numbers:
    """Least joint of each member less its clearance in each drawn opening, mm, (4, draws)."""
    spare = np.empty(sizes.edges.shape)
    spare[LEFT] = placement.x - sizes.edges[LEFT] - clearance.left
    spare[RIGHT] = sizes.edges[RIGHT] - placement.x - frame.width - clearance.right
    spare[HEAD] = sizes.edges[HEAD] - placement.y - frame.height - clearance.head
    spare[SILL] = placement.y - sizes.edges[SILL] - clearance.sill
    return spare


def _along(opening: WalledOpening, side: int, point: int, placement: Placement) -> float:
    """Place of a point from the foot or left end of its member, mm."""
    upright = side in (LEFT, RIGHT)
    length, start = (opening.height, placement.y) if upright else (opening.width, placement.x)
    return float(max(0, round(point * length / (POINTS - 1) - start)))
