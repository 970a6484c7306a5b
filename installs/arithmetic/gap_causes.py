"""What probably makes the gaps along a chain uneven: the frame, a sash, or carriers alone.

Head and sill gap of a junction add up to twice the leaf gap, whatever leaf and carrier do: the sum
says frame. A leaf that stands higher closes one gap by as much as it opens the other: the
difference says sash or carrier. Each cause is a shape along the chain (a bump of the head, a sill
that falls towards one end, the curve of a lintel), of a size that is unknown and at least that of a
fault. Over a sound frame that is never quite even, and carriers that stand anywhere, the evidence
of each is a closed form, and the causes are weighed by it. Lengths in mm.

Sources: closed forms of a linear model with normal distributions (JCGM 101:2008, 6.4.11; JCGM
106:2012, 7); how often which cause is met, and how even a sound frame is: common practice, no
source.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import log

import numpy as np

from installs.arithmetic.chains import RunningGearRequest, following
from installs.arithmetic.gap_shapes import Cause, Junctions, Numbers, Shapes, shapes_of

# How often each is met where gaps are read; what is left is a frame and sashes without a fault.
MET: dict[Cause, float] = {
    "head_low": 0.07,
    "head_high": 0.04,
    "sill_high": 0.06,
    "sill_low": 0.07,
    "lintel_bears_on_head": 0.05,
    "gap_narrow_everywhere": 0.04,
    "gap_wide_everywhere": 0.03,
    "hinge_off": 0.02,
    "sash_racked": 0.16,
}
# Standard deviations, mm: of the size of a fault, of head and sill of a sound frame (over so many
# mm along it, and from place to place), of a carrier, of a hinge, of the play of a knuckle, and of
# the leaf gap where nobody says what it is.
FAULT = 3.0
FRAME, FRAME_OVER, FRAME_PLACE = 0.25, 1200.0, 0.1
CARRIER, HINGE, PLAY = 2.0, 0.3, 0.15
LEAF_GAP = 10.0
LEAST_FAULT = 0.5


@dataclass(frozen=True, slots=True)
class WeighedCause:
    """A cause with its probability, the indices of the junctions where it shows and of the one
    where it shows most, and its size there: mm of the member, of both gaps together, or of the
    leaf."""

    what: Cause
    junctions: tuple[int, ...]
    worst: int
    probability: float
    size: float

    @property
    def of_frame(self) -> bool:
        return self.what != "sash_racked"


@dataclass(frozen=True, slots=True)
class Weighed:
    """All causes, the most probable first; with `sound`, their probabilities add up to 1."""

    causes: tuple[WeighedCause, ...]
    sound: float

    @property
    def frame(self) -> float:
        return sum(cause.probability for cause in self.causes if cause.of_frame)

    @property
    def sash(self) -> float:
        return sum(cause.probability for cause in self.causes if not cause.of_frame)


def weigh_causes(request: RunningGearRequest) -> Weighed:
    """The probable causes of the gaps as read; of `leaf_gap` None, whether they are all too narrow
    or too wide is left out."""
    from scipy.special import log_ndtr  # noqa: PLC0415

    shapes = list(shapes_of(request))
    effects = np.vstack([cause.gaps for cause in shapes])
    read = _departures(request)
    solved = np.linalg.solve(_covariance(request), np.column_stack([read, effects.T]))
    gain = np.einsum("ij,ji->i", effects, solved[:, 1:])
    variance = 1 / (gain + 1 / FAULT**2)
    size = variance * (effects @ solved[:, 0])
    deviation = np.sqrt(variance)
    least = _least_fault(request)
    evidence = (
        size**2 / variance / 2
        - np.log1p(FAULT**2 * gain) / 2
        + log_ndtr((size - least) / deviation)
        - log_ndtr(-least / FAULT)
    )
    return _weighed(shapes, evidence, np.maximum(size, least))


def _weighed(shapes: Sequence[Shapes], evidence: Numbers, size: Numbers) -> Weighed:
    prior = [np.full(len(cause.gaps), log(MET[cause.what] / len(cause.gaps))) for cause in shapes]
    sound = log(1 - sum(MET[cause.what] for cause in shapes))
    weights = np.append(evidence + np.concatenate(prior), sound)
    shares = np.exp(weights - weights.max())
    shares /= shares.sum()
    ends = np.cumsum([len(cause.gaps) for cause in shapes])[:-1]
    parts = zip(shapes, np.split(shares[:-1], ends), np.split(size, ends), strict=True)
    causes = sorted((_cause(*part) for part in parts), key=lambda cause: -cause.probability)
    return Weighed(tuple(causes), float(shares[-1]))


def _cause(shapes: Shapes, shares: Numbers, size: Numbers) -> WeighedCause:
    """All shapes of a cause together, at the place where it most probably is."""
    places: dict[Junctions, float] = {}
    for junctions, share in zip(shapes.junctions, shares.tolist(), strict=True):
        places[junctions] = places.get(junctions, 0.0) + share
    likeliest = max(places, key=lambda place: places[place])
    there = [row for row, junctions in enumerate(shapes.junctions) if junctions == likeliest]
    best = max(there, key=lambda row: shares[row])
    head, sill = np.split(np.abs(shapes.gaps[best]), 2)
    return WeighedCause(
        shapes.what,
        likeliest,
        worst=int(np.maximum(head, sill).argmax()),
        probability=float(shares.sum()),
        size=float(size[best]),
    )


def _departures(request: RunningGearRequest) -> Numbers:
    """Head gaps, then sill gaps, less the leaf gap; less their own mean where that is not known."""
    gaps = np.array(
        [j.head_gap for j in request.junctions] + [j.sill_gap for j in request.junctions]
    )
    return gaps - (gaps.mean() if request.leaf_gap is None else request.leaf_gap)


def _least_fault(request: RunningGearRequest) -> float:
    return max(LEAST_FAULT, request.tolerance)


def _covariance(request: RunningGearRequest) -> Numbers:
    """Of all gaps over a frame without a fault, as they are read."""
    count = len(request.junctions)
    at = np.array([junction.at for junction in request.junctions])
    member = FRAME**2 * np.exp(-(((at[:, None] - at) / FRAME_OVER) ** 2) / 2)
    member += (FRAME_PLACE**2 + request.standard_uncertainty**2) * np.eye(count)
    moves = np.array([CARRIER if junction.moves else HINGE for junction in request.junctions])
    leaf = following(request.junctions) * moves
    loose = np.array([PLAY * (junction.support == "none") for junction in request.junctions])
    height = leaf @ leaf.T + np.diag(loose**2)
    covariance: Numbers = np.kron(np.eye(2), member) + np.kron([[1, -1], [-1, 1]], height)
    return covariance + (LEAF_GAP**2 if request.leaf_gap is None else 0.0)
