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

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import log
from typing import Literal

import numpy as np
import numpy.typing as npt

from installs.arithmetic.chains import RunningGearRequest, following

Numbers = npt.NDArray[np.float64]
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
# Half the length of a bump of a member that is held every 600 mm or so.
BUMPS = (700.0, 1400.0)
# The span of a lintel over the length of the chain, which need not fill the opening.
SPANS = (1.0, 1.4, 2.0)
HEAD_SHARES = (0.0, 0.25, 0.5, 0.75, 1.0)
LEAST_FAULT = 0.5
# Of its greatest size, from where on a bend shows at a junction.
SHOWN_SHARE = 0.5


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


@dataclass(frozen=True, slots=True)
class _Shape:
    """What a fault of 1 mm does to the head gaps, then to the sill gaps."""

    what: Cause
    junctions: tuple[int, ...]
    gaps: Numbers


def weigh_causes(request: RunningGearRequest) -> Weighed:
    """The probable causes of the gaps as read; of `leaf_gap` None, whether they are all too narrow
    or too wide is left out."""
    from scipy.special import log_ndtr  # noqa: PLC0415

    shapes = list(_shapes(request))
    effects = np.array([shape.gaps for shape in shapes])
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


def _weighed(shapes: Sequence[_Shape], evidence: Numbers, size: Numbers) -> Weighed:
    of_kind = Counter(shape.what for shape in shapes)
    prior = np.array([log(MET[shape.what] / of_kind[shape.what]) for shape in shapes])
    sound = log(1 - sum(MET[what] for what in of_kind))
    weights = np.append(evidence + prior, sound)
    shares = np.exp(weights - weights.max())
    shares /= shares.sum()
    causes = []
    for what in of_kind:
        places: dict[tuple[int, ...], list[int]] = {}
        for index, shape in enumerate(shapes):
            if shape.what == what:
                places.setdefault(shape.junctions, []).append(index)
        likeliest = max(places, key=lambda place: shares[places[place]].sum())
        best = max(places[likeliest], key=lambda index: shares[index])
        total = sum(shares[index] for indices in places.values() for index in indices)
        worst = int(np.abs(shapes[best].gaps).argmax()) % (len(shapes[best].gaps) // 2)
        causes.append(WeighedCause(what, likeliest, worst, float(total), float(size[best])))
    causes.sort(key=lambda cause: -cause.probability)
    return Weighed(tuple(causes), float(shares[-1]))


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


def _shapes(request: RunningGearRequest) -> Iterator[_Shape]:
    at = np.array([junction.at for junction in request.junctions])
    at = at - at[0]
    none = np.zeros(len(at))
    for junctions, curve in _of_a_member(at):
        yield _Shape("head_low", junctions, np.concatenate([-curve, none]))
        yield _Shape("head_high", junctions, np.concatenate([curve, none]))
        yield _Shape("sill_high", junctions, np.concatenate([none, -curve]))
        yield _Shape("sill_low", junctions, np.concatenate([none, curve]))
    for span in SPANS:
        part = at / at[-1] / span
        sag = 4 * part * (1 - part)
        # A chain of one leaf under a lintel of its own length has no junction where that shows.
        if sag.max() > 0:
            sag /= sag.max()
            where = tuple(np.flatnonzero(sag > SHOWN_SHARE).tolist())
            yield _Shape("lintel_bears_on_head", where, np.concatenate([-sag, none]))
    yield from _everywhere(request)
    yield from _of_the_leaves(request)


def _of_a_member(at: Numbers) -> Iterator[tuple[tuple[int, ...], Numbers]]:
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


def _everywhere(request: RunningGearRequest) -> Iterator[_Shape]:
    if request.leaf_gap is None:
        return
    count = len(request.junctions)
    for share in HEAD_SHARES:
        both = np.concatenate([np.full(count, share), np.full(count, 1 - share)])
        yield _Shape("gap_narrow_everywhere", tuple(range(count)), -both)
        yield _Shape("gap_wide_everywhere", tuple(range(count)), both)


def _of_the_leaves(request: RunningGearRequest) -> Iterator[_Shape]:
    """A racked sash stands off the line between supports; what hangs on a hinge goes with it."""
    follows = following(request.junctions)
    for index, junction in enumerate(request.junctions):
        if junction.moves:
            continue
        held = junction.support == "hinge"
        height = follows[:, index] if held else np.eye(len(follows))[index]
        for way in (1, -1):
            gaps = way * np.concatenate([-height, height])
            yield _Shape("hinge_off" if held else "sash_racked", (index,), gaps)
