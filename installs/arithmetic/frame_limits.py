"""What a packed member is held to, as numbers that follow from the belief about it."""

from dataclasses import dataclass
from functools import cache
from itertools import combinations

import numpy as np

from installs.arithmetic.beams import Array
from installs.arithmetic.frame_belief import Belief, MemberModel
from installs.arithmetic.packed_members import ALONG, QUARTERS, ReadingKind

DRAWS = 1000
SEED = 7


@dataclass(frozen=True, slots=True)
class Quantity:
    """`row` times the state plus `offset`, mm, held to `limit` either way. Levels are held to
    theirs by every two of their places, so their quantities are differences."""

    kind: ReadingKind
    row: Array
    offset: float
    limit: float
    at: float | None = None


def quantities_of(model: MemberModel) -> tuple[Quantity, ...]:
    """All that the member is held to; bow and level at its quarter points and where it was read."""
    member, limits = model.member, model.member.limits
    bows = [
        Quantity("bow", model.bow(place), 0.0, limits.bow, place)
        for place in _places(model, "bow", QUARTERS)
    ]
    if not member.is_jamb:
        return (*_levels(model), *(bow for bow in bows if model.reads("bow")))
    plumb = Quantity("plumb", model.plumb(), 0.0, limits.plumb)
    if member.frame is None:
        return plumb, *bows
    row, offset = model.diagonal()
    return plumb, *bows, Quantity("diagonal", row, offset, limits.diagonal)


def probability_within(
    quantities: tuple[Quantity, ...], mean: Array, covariance: Array, shifts: Array
) -> Array:
    """For each row of `shifts` (movements of the state, mm), the probability that all quantities
    are within their limits after it; the same draws for all, so that they can be compared."""
    rows = np.array([quantity.row for quantity in quantities])
    offset = np.array([quantity.offset for quantity in quantities])
    limit = np.array([quantity.limit for quantity in quantities])
    variance, vectors = np.linalg.eigh(rows @ covariance @ rows.T)
    root = vectors * np.sqrt(np.clip(variance, 0.0, None))
    drawn = rows @ mean + offset + _draws(len(quantities)) @ root.T
    moved = drawn[None] + (shifts @ rows.T)[:, None, :]
    return np.asarray((np.abs(moved) <= limit).all(axis=-1).mean(axis=-1))


def probability_now(quantities: tuple[Quantity, ...], belief: Belief) -> float:
    """As the belief has it, without any change; 1 where nothing is held to a limit."""
    if not quantities:
        return 1.0
    still = np.zeros((1, len(belief.mean)))
    return float(probability_within(quantities, belief.mean, belief.covariance, still)[0])


def _levels(model: MemberModel) -> tuple[Quantity, ...]:
    rows = {place: model.level(place) for place in _places(model, "level", ALONG)}
    limit = model.member.limits.level
    return tuple(
        Quantity("level", rows[high] - rows[low], 0.0, limit, low)
        for low, high in combinations(rows, 2)
    )


def _places(model: MemberModel, kind: ReadingKind, shares: tuple[float, ...]) -> list[float]:
    read = {one.at for one in model.member.readings if one.kind == kind and one.at is not None}
    return sorted(read | {share * model.member.length for share in shares})


@cache
def _draws(count: int) -> Array:
    """Standard normal numbers, the same every time, each with its mirror image."""
    half = np.random.default_rng(SEED).standard_normal((DRAWS // 2, count))
    return np.concatenate((half, -half))
