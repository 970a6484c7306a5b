"""How the profile of one side departs from its line, for each kind of wall, before it is read."""

from dataclasses import dataclass
from functools import cache, lru_cache

import numpy as np

from surveys.arithmetic.readings import Surface
from surveys.arithmetic.rows import Numbers
from surveys.arithmetic.wall_kinds import BULGE_LENGTH, BULGES, CENTRE_SPREAD, KINDS, WallKind

POINTS = 31
PLACES: Numbers = np.linspace(0.0, 1.0, POINTS)
# Lengths are alike within this, mm: walls of 2100 and 2130 mm bend alike.
LENGTH_STEP = 100.0
# So many profiles tell how far walls of a kind stand beyond the line through their ends.
SAMPLES = 400
SEED = 20260105
TINY = 1e-6


@dataclass(frozen=True, slots=True)
class SidePrior:
    """For each of `KINDS`: covariance of the smooth part over `PLACES` and its root, mm2 and mm,
    of shape (kinds, points, points); variances of the rough part, (kinds,); covariance of the whole
    profile with how far each point stands off the line through both ends, (kinds, points, points);
    humps of sampled profiles, mm, (kinds, samples)."""

    smooth: Numbers
    root: Numbers
    rough: Numbers
    across: Numbers
    humps: Numbers


def side_prior(length: float, straightness: float, surface: Surface) -> SidePrior:
    """Of a side of this length, mm; `straightness` is the rule set's."""
    return _prior(max(1.0, round(length / LENGTH_STEP)) * LENGTH_STEP, straightness, surface)


@lru_cache(maxsize=64)
def _prior(length: float, straightness: float, surface: Surface) -> SidePrior:
    usual = BULGES[surface]
    smooth = np.array([_smooth(kind, length, straightness, usual) for kind in KINDS])
    root = np.linalg.cholesky(smooth + TINY * np.eye(POINTS)).astype(np.float64)
    rough = np.array([kind.rough**2 for kind in KINDS])
    across = (smooth + rough[:, None, None] * np.eye(POINTS)) @ off_chord().T
    return SidePrior(smooth, root, rough, across, _humps(root, rough))


def _smooth(kind: WallKind, length: float, straightness: float, usual: float) -> Numbers:
    apart = np.abs(PLACES[:, None] - PLACES[None, :])
    bow = (kind.bow * straightness) ** 2 * _bow()
    envelope = np.exp(-0.5 * ((PLACES - kind.centre) / CENTRE_SPREAD) ** 2)
    scale = max(BULGE_LENGTH / length, 0.8 / (POINTS - 1))
    bulge = (
        (usual * kind.bulge) ** 2
        * np.outer(envelope, envelope)
        * np.exp(-0.5 * (apart / scale) ** 2)
    )
    step = (usual * kind.step) ** 2 * np.minimum(PLACES[:, None], PLACES[None, :])
    covariance: Numbers = bow + bulge + step
    return covariance


def _bow() -> Numbers:
    """A smooth process whose middle stands off the line through its ends by 1 mm, one deviation."""
    process = np.zeros((POINTS, POINTS))
    for scale, share in ((0.5, 0.6), (0.22, 0.4)):
        ratio = np.sqrt(3) * np.abs(PLACES[:, None] - PLACES[None, :]) / scale
        process += share * (1 + ratio) * np.exp(-ratio)
    middle = off_chord()[POINTS // 2]
    scaled: Numbers = process / (middle @ process @ middle)
    return scaled


@cache
def off_chord() -> Numbers:
    """Rows that give how far each point stands off the line through both ends."""
    chord = np.zeros((POINTS, POINTS))
    chord[:, 0], chord[:, -1] = 1 - PLACES, PLACES
    rows: Numbers = np.eye(POINTS) - chord
    return rows


def _humps(root: Numbers, rough: Numbers) -> Numbers:
    rng = np.random.default_rng(SEED)
    unit, courses = rng.standard_normal((2, POINTS, SAMPLES))
    profiles = root @ unit + np.sqrt(rough)[:, None, None] * courses
    humps: Numbers = (off_chord() @ profiles).max(axis=1)
    return humps
