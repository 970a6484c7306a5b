"""Covariances of the readings, and of the sides with them, for every kind of wall of every side."""

from dataclasses import dataclass
from functools import cache

import numpy as np

from surveys.arithmetic.readings import SIDES, Measurement
from surveys.arithmetic.rows import Numbers
from surveys.arithmetic.side_prior import PLACES, POINTS, SidePrior, side_prior
from surveys.arithmetic.survey_rows import (
    LINE_COUNT,
    OFFSET,
    SCALE,
    TILTS,
    SurveyRows,
    line_row,
)
from surveys.arithmetic.wall_kinds import KINDS

# Where a side stands, and a datum, may be anything within reason, mm.
ANYWHERE = 500.0
# What all readings of one instrument share: from where it is held, mm, and its scale, mm/m.
# Common practice, no source: a fifth of a tape's permissible error, and a hook a little bent.
SHARED_OFFSET = 0.4
SHARED_SCALE = 0.1


@dataclass(frozen=True, slots=True)
class OpeningPrior:
    """Side by side: covariances of the readings by kind, (4, kinds, readings, readings), and of the
    profile with the readings, (4, kinds, points, readings); those that the lines add to both,
    (readings, readings) and (4, points, readings). `interpolation` and `courses` give what a
    reading takes of a side's smooth and rough profile, (4, readings, points); mm2."""

    rows: SurveyRows
    sides: tuple[SidePrior, ...]
    line_variances: Numbers
    interpolation: Numbers
    courses: Numbers
    readings: Numbers
    profiles: Numbers
    line_readings: Numbers
    line_profiles: Numbers


def opening_prior(
    rows: SurveyRows, measurement: Measurement, tilts: Numbers, kinds: int = len(KINDS)
) -> OpeningPrior:
    """`tilts`: standard deviations of the sides' tilts, mm, in the order of the sides; of the first
    so many `kinds` of wall."""
    lengths = (rows.height, rows.height, rows.width, rows.width)
    surfaces, straightness = measurement.surfaces, measurement.priors.straightness
    sides = tuple(
        side_prior(length, straightness, getattr(surfaces, side))
        for length, side in zip(lengths, SIDES, strict=True)
    )
    interpolation, courses = _taken(rows)
    smooth = np.array([side.smooth[:kinds] for side in sides])
    rough = np.array([side.rough[:kinds] for side in sides])[:, :, None, None]
    profiles = smooth @ interpolation.swapaxes(1, 2)[:, None]
    readings = interpolation[:, None] @ profiles
    readings += rough * (courses @ courses.swapaxes(1, 2))[:, None]
    profiles = profiles + rough * courses.swapaxes(1, 2)[:, None]
    variances = _line_variances(tilts)
    spread = variances[:, None] * rows.lines.T
    line_readings = rows.lines @ spread + np.diag(rows.deviations**2)
    return OpeningPrior(
        rows=rows,
        sides=sides,
        line_variances=variances,
        interpolation=interpolation,
        courses=courses,
        readings=readings,
        profiles=profiles,
        line_readings=line_readings,
        line_profiles=profile_lines() @ spread,
    )


@cache
def profile_lines() -> Numbers:
    """Rows that give each side's line over the places, of shape (4, points, numbers)."""
    return np.array([[line_row(side, t) for t in PLACES] for side in range(len(SIDES))])


def _line_variances(tilts: Numbers) -> Numbers:
    deviations = np.full(LINE_COUNT, ANYWHERE)
    deviations[TILTS] = tilts
    deviations[[OFFSET, SCALE]] = SHARED_OFFSET, SHARED_SCALE
    return deviations**2


def _taken(rows: SurveyRows) -> tuple[Numbers, Numbers]:
    """What each reading takes of the points of each side: shared between two of them where the
    profile is smooth, all of one where it goes by courses."""
    steps = rows.places.T * (POINTS - 1)
    low = np.minimum(steps.astype(int), POINTS - 2)
    part = steps - low
    shares = rows.shares.T
    sides, readings = np.indices(shares.shape)
    interpolation, courses = np.zeros((2, *shares.shape, POINTS))
    interpolation[sides, readings, low] = shares * (1 - part)
    interpolation[sides, readings, low + 1] = shares * part
    courses[sides, readings, np.rint(steps).astype(int)] = shares
    return interpolation, courses
