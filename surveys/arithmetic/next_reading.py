"""Which reading would most probably settle whether a frame fits.

The openings that are drawn from all readings so far say what a further reading may turn out to be,
and, sorted by that, how probably the frame fits in each case. A reading settles the verdict where
that is beyond the confidence asked for, either way.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

import numpy as np
import numpy.typing as npt

from jobs.sentences import StoredSentence, sentence
from surveys.arithmetic.answers import ReadingKind, ReadNext
from surveys.arithmetic.clear_size import ClearSizes
from surveys.arithmetic.opening_draws import single
from surveys.arithmetic.readings import SIDES, Side
from surveys.arithmetic.rows import Drawn, Indices, Numbers, mass_of
from surveys.arithmetic.side_prior import POINTS, off_chord
from surveys.arithmetic.straightedge_draws import INWARD
from surveys.arithmetic.survey_rows import LEFT, RIGHT
from surveys.arithmetic.walled_opening import WalledOpening

SPLAY = sentence(
    "The frame stands in the whole depth of the reveal, and whether its inside edges stand further "
    "in than the outside ones was not read on every side."
)
STRAIGHTEDGE = StoredSentence(
    "A bulge between the places that were read would narrow the opening; lay a straightedge or "
    "string along the whole side: {side}."
)
PLUMB = StoredSentence("How far this jamb leans was not read with a plumb line: {side}.")
LEVEL = StoredSentence("How far this side falls was not read with a level: {side}.")
WIDTH = sentence("The width at this height is not known well enough.")
HEIGHT = sentence("The height at this place is not known well enough.")
# Readings are told apart by so much, mm: about two deviations of a tape, straightedge or square.
CLASS_WIDTH = 1.5
MOST_NAMED = 4
# Places of a width or height that could be read, as shares of the side: so close together that one
# of them meets a bulge.
PLACES_TO_READ = (0.05, 0.15, 0.27, 0.38, 0.5, 0.62, 0.73, 0.85, 0.95)
# A reading that leaves more of the doubt than this is not worth its while.
WORTH_WHILE = 0.98
# Where no reading settles it more probably than this, several are needed, and the one that leaves
# the least doubt comes first.
PROBABLY = 0.4


@dataclass(frozen=True, slots=True)
class Candidate:
    """A reading that could be taken; what it would be in each drawn opening, mm: what it says of
    the clear width and of the clear height."""

    kind: ReadingKind
    side: Side | Literal["all"] | None
    at: float | None
    why: str
    across: tuple[Drawn, ...] = ()
    upward: tuple[Drawn, ...] = ()


@dataclass(frozen=True, slots=True)
class _Judged:
    """`doubt` that is left, as a share of the present one."""

    candidate: Candidate
    settles: float
    doubt: float


def readings_to_take(
    opening: WalledOpening, sizes: ClearSizes, needed: tuple[float, float], confidence: float
) -> tuple[ReadNext, ...]:
    """The most helpful first, where this clear width and height are needed, mm."""
    judged = [_judged(candidate, sizes, needed, confidence) for candidate in _candidates(opening)]
    useful = [one for one in judged if one.doubt < WORTH_WHILE] or judged
    probably = max(one.settles for one in useful) >= PROBABLY
    useful.sort(key=lambda one: (-one.settles if probably else 0.0, one.doubt))
    return tuple(
        ReadNext(c.kind, c.side, c.at, c.why, round(one.settles, 3))
        for one in useful[:MOST_NAMED]
        for c in (one.candidate,)
    )


def _judged(
    candidate: Candidate, sizes: ClearSizes, needed: tuple[float, float], confidence: float
) -> _Judged:
    held = sizes.held(needed)
    across, upward = (
        _by_outcome(outcomes, fits, weights)
        for outcomes, fits, weights in zip(
            (candidate.across, candidate.upward), held, sizes.weights, strict=True
        )
    )
    mass = np.outer(across.mass, upward.mass)
    probability = np.outer(across.fits, upward.fits)
    settled = (probability >= confidence) | (probability <= 1 - confidence)
    present = float((mass * probability).sum())
    left = float((mass * probability * (1 - probability)).sum())
    doubt = left / max(present * (1 - present), 1e-9)
    return _Judged(candidate, float(mass[settled].sum()), doubt)


@dataclass(frozen=True, slots=True)
class _ByOutcome:
    """Classes of outcomes: how probable each is, and how probably the frame fits in it."""

    mass: Numbers
    fits: Numbers


def _by_outcome(
    outcomes: tuple[Drawn, ...], held: npt.NDArray[np.bool_], weights: Numbers
) -> _ByOutcome:
    classes = _classes(outcomes, len(held))
    mass, fitting = mass_of(classes, weights), mass_of(classes, weights * held)
    share = weights @ held
    # So many equally weighted openings the draws are worth; a class of few says little by itself.
    worth = 1 / (weights @ weights)
    taken = mass > 0
    fits = (fitting[taken] * worth + share) / (mass[taken] * worth + 1)
    return _ByOutcome(mass[taken], fits)


def _classes(outcomes: tuple[Drawn, ...], count: int) -> Indices:
    """Number of the class of outcomes that each drawn opening is in."""
    number = np.zeros(count, dtype=int)
    for outcome in outcomes:
        step = ((outcome - outcome.min()) * (1 / CLASS_WIDTH) + 0.5).astype(int)
        number = number * (step.max() + 1) + step
    return number


def _of_side(side: int, kind: ReadingKind, why: str, *outcomes: Drawn) -> Candidate:
    across, upward = (outcomes, ()) if side in (LEFT, RIGHT) else ((), outcomes)
    return Candidate(kind, SIDES[side], None, why, across, upward)


def _candidates(opening: WalledOpening) -> Iterator[Candidate]:
    yield from _splays(opening)
    yield from _straightedges(opening)
    yield from _lines(opening)
    yield from _sizes(opening)


def _splays(opening: WalledOpening) -> Iterator[Candidate]:
    """All that are lacking at once: it is one walk round the opening."""
    lacking = [side for side in SIDES if side not in opening.read_splays]
    if not lacking:
        return
    left, right, head, sill = opening.drawn.splays.clip(min=0).max(axis=1)
    yield Candidate(
        "splay",
        "all" if len(lacking) > 1 else lacking[0],
        None,
        SPLAY,
        (left + right,),
        (head + sill,),
    )


def _straightedges(opening: WalledOpening) -> Iterator[Candidate]:
    for index, side in enumerate(SIDES):
        if side not in opening.read_straightedges:
            inward = single(INWARD[index] * off_chord()) @ opening.drawn.profiles[index]
            why = STRAIGHTEDGE(side=side)
            yield _of_side(index, "straightedge", why, inward.max(axis=0))


def _lines(opening: WalledOpening) -> Iterator[Candidate]:
    """Plumb of the jambs, levels of sill and head: both ends and the middle."""
    for index, side in enumerate(SIDES):
        if side not in opening.read_lines:
            foot, middle, top = opening.drawn.profiles[index, [0, POINTS // 2, -1]]
            kind: ReadingKind = "plumb" if index in (LEFT, RIGHT) else "level"
            why = PLUMB(side=side) if kind == "plumb" else LEVEL(side=side)
            yield _of_side(index, kind, why, top - foot, middle - (foot + top) / 2)


def _sizes(opening: WalledOpening) -> Iterator[Candidate]:
    left, right, head, sill = opening.drawn.profiles
    for place in PLACES_TO_READ:
        point = round(place * (POINTS - 1))
        width, height = right[point] - left[point], head[point] - sill[point]
        yield Candidate("width", None, round(opening.height * place, 0), WIDTH, across=(width,))
        yield Candidate("height", None, round(opening.width * place, 0), HEIGHT, upward=(height,))
