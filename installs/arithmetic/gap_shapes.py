"""What each cause of uneven gaps does to the gaps along a chain; lengths in mm.

Shapes are common practice, no source: a member that is held every 600 mm or so bends in bumps of
that length, falls towards an end, or follows the parabola of a loaded beam.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

import numpy as np
import numpy.typing as npt

from installs.arithmetic.chains import RunningGearRequest, following

Numbers = npt.NDArray[np.float64]
Junctions = tuple[int, ...]
Cause = Literal[
    "head_low",
    "head_high",
    "sill_high",
    "sill_low",
    "lintel_bears_on_head",
    "gap_narrow_everywhere",
    "gap_wide_everywhere",
    "hinge_off",
    "sash_racked",
]
# Half the length of a bump of a member.
BUMPS = (700.0, 1400.0)
# The span of a lintel over the length of the chain, which need not fill the opening.
SPANS = (1.0, 1.4, 2.0)
# Of its greatest size, from where on a bend shows at a junction.
SHOWN_SHARE = 0.5
# How much of a frame that is too low, or too high, is seen at the head; the rest is at the sill.
HEAD_SHARES = (0.0, 0.25, 0.5, 0.75, 1.0)


@dataclass(frozen=True, slots=True)
class Shapes:
    """All shapes of a cause: a row of `gaps` is what a fault of 1 mm does to the head gaps, then to
    the sill gaps; `junctions` are those where it shows, row by row."""

    what: Cause
    junctions: tuple[Junctions, ...]
    gaps: Numbers


def shapes_of(request: RunningGearRequest) -> Iterator[Shapes]:
    """Those of every cause that a chain can have."""
    at = np.array([junction.at - request.junctions[0].at for junction in request.junctions])
    curves = list(_of_a_member(at))
    junctions = tuple(where for where, _ in curves)
    bent = np.array([curve for _, curve in curves])
    straight = np.zeros_like(bent)
    yield Shapes("head_low", junctions, np.hstack([-bent, straight]))
    yield Shapes("head_high", junctions, np.hstack([bent, straight]))
    yield Shapes("sill_high", junctions, np.hstack([straight, -bent]))
    yield Shapes("sill_low", junctions, np.hstack([straight, bent]))
    yield _lintel(at)
    if request.leaf_gap is not None:
        yield from _everywhere(len(at))
    yield from _of_the_leaves(request)


def _of_a_member(at: Numbers) -> Iterator[tuple[Junctions, Numbers]]:
    """Head or sill off at one junction, or more and more towards one end."""
    last = len(at) - 1
    for half in BUMPS:
        bumps = np.cos(np.pi / 2 * np.minimum(np.abs(at - at[:, None]) / half, 1)) ** 2
        yield from (((index,), bump) for index, bump in enumerate(bumps))
    for index in range(last - 1):
        ramp = np.maximum(at - at[index], 0) / (at[-1] - at[index])
        yield tuple(range(index + 1, last + 1)), ramp
    for index in range(2, last + 1):
        ramp = np.maximum(at[index] - at, 0) / at[index]
        yield tuple(range(index)), ramp


def _lintel(at: Numbers) -> Shapes:
    """A chain of one leaf under a lintel of its own length has no junction where that shows."""
    sags = []
    for span in SPANS:
        part = at / at[-1] / span
        sag = part * (1 - part)
        if sag.max() > 0:
            sags.append(sag / sag.max())
    junctions = tuple(tuple(np.flatnonzero(sag > SHOWN_SHARE).tolist()) for sag in sags)
    bent = np.array(sags)
    return Shapes("lintel_bears_on_head", junctions, np.hstack([-bent, np.zeros_like(bent)]))


def _everywhere(count: int) -> Iterator[Shapes]:
    junctions = (tuple(range(count)),) * len(HEAD_SHARES)
    shares = np.array(HEAD_SHARES)[:, None]
    both = np.hstack([np.repeat(shares, count, axis=1), np.repeat(1 - shares, count, axis=1)])
    yield Shapes("gap_narrow_everywhere", junctions, -both)
    yield Shapes("gap_wide_everywhere", junctions, both)


def _of_the_leaves(request: RunningGearRequest) -> Iterator[Shapes]:
    """A racked sash stands off the line between supports; what hangs on a hinge goes with it."""
    chain = request.junctions
    hinges = [i for i, known in enumerate(chain) if known.support == "hinge" and not known.moves]
    if hinges:
        yield _up_or_down("hinge_off", hinges, following(chain).T[hinges])
    free = [index for index, known in enumerate(chain) if known.support == "none"]
    if free:
        yield _up_or_down("sash_racked", free, np.eye(len(chain))[free])


def _up_or_down(what: Cause, places: list[int], heights: Numbers) -> Shapes:
    up = np.hstack([-heights, heights])
    return Shapes(what, tuple((place,) for place in places) * 2, np.vstack([up, -up]))
