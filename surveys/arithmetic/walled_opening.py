"""An opening worked out from its readings: what is probable of its walls, and drawn openings."""

from dataclasses import dataclass

import numpy as np

from surveys.arithmetic.opening_draws import DRAWS, EACH, components, draw_profiles, single
from surveys.arithmetic.opening_prior import OpeningPrior, opening_prior
from surveys.arithmetic.profiles import Profiles, profiles_of
from surveys.arithmetic.reading_checks import check
from surveys.arithmetic.readings import Measurement, Opening, Priors
from surveys.arithmetic.rows import Drawn, Indices, Numbers, mass_of
from surveys.arithmetic.side_prior import PLACES, POINTS
from surveys.arithmetic.splay_draws import draw_splays
from surveys.arithmetic.straightedge_draws import INWARD, condition_on_straightedges
from surveys.arithmetic.survey_rows import (
    HEAD,
    LEFT,
    RIGHT,
    SILL,
    TILTS,
    SurveyRows,
    set_diagonals,
    survey_rows,
)
from surveys.arithmetic.wall_kinds import KINDS
from surveys.arithmetic.wall_mixture import WallMixture, wall_mixture

# A few walls lean far more than most: the tilts have the tails of Student's t with so many degrees.
TAIL_DEGREES = 3.0
STEPS = 4
# The first kinds, straight, coursed and bowed, are what a wall is taken to be meanwhile.
SIMPLE_KINDS = 3
# How far off a diagonal may be before anything is known of the opening, mm.
DOUBTED_DIAGONAL = 20.0
# Weights of which direction hold for each side.
DIRECTION_OF = [0, 0, 1, 1]


@dataclass(frozen=True, slots=True)
class DrawnWalls:
    """Openings as they may be, mm, with the foot of the mean opening's left jamb for the origin.

    `profiles` are x of left and right jamb and y of head and sill at the outside face,
    (4, points, draws); `splays` at both ends, (4, 2, draws); `furthest_in` how far each point
    stands into the opening at the deeper of its two edges. `weights` for what is asked of the
    jambs and of head and sill, (2, draws), add up to 1; `drawn_kinds` are places in `KINDS`.
    """

    profiles: Drawn
    splays: Drawn
    furthest_in: Drawn
    weights: Numbers
    drawn_kinds: Indices

    def kinds(self, side: int) -> Numbers:
        """How probable each of `KINDS` is on a side."""
        weights = self.weights[DIRECTION_OF[side]]
        return mass_of(self.drawn_kinds[side], weights, len(KINDS))

    @property
    def mean(self) -> Numbers:
        mean: Numbers = (self.profiles @ self.weights[DIRECTION_OF][..., None])[..., 0]
        return mean


@dataclass(frozen=True, slots=True)
class WalledOpening:
    """`width` and `height` are nominal, mm."""

    rows: SurveyRows
    prior: OpeningPrior
    mixture: WallMixture
    drawn: DrawnWalls
    tilts: Numbers
    read_splays: frozenset[str]
    read_straightedges: frozenset[str]
    read_lines: frozenset[str]

    @property
    def profiles(self) -> Profiles:
        """The mean opening's, at the outside face."""
        return profiles_of(self.drawn.mean, self.width, self.height)

    @property
    def width(self) -> float:
        return self.rows.width

    @property
    def height(self) -> float:
        return self.rows.height


def work_out(measurement: Measurement) -> WalledOpening:
    """Raises `UnusableInput` for a set that cannot be worked out."""
    check(measurement)
    rows = survey_rows(measurement)
    prior = _settled(measurement, rows)
    mixture = wall_mixture(prior, measurement)
    parts = components(prior, mixture)
    drawn = draw_profiles(prior, parts)
    opening = measurement.opening
    drawn, weights = condition_on_straightedges(prior, parts, mixture, drawn, opening.straightedge)
    kinds = np.repeat(parts.kinds, EACH, axis=0).T
    splays = draw_splays(opening.splay, rows.width, rows.height, measurement.priors.splay)
    walls = _walls(rows, drawn, weights.reshape(2, DRAWS), splays, kinds)
    return WalledOpening(
        rows=rows,
        prior=prior,
        mixture=mixture,
        drawn=walls,
        tilts=np.sqrt(prior.line_variances[TILTS]),
        read_splays=frozenset(reading.side for reading in opening.splay),
        read_straightedges=frozenset(reading.side for reading in opening.straightedge),
        read_lines=_read_lines(opening),
    )


def _read_lines(opening: Opening) -> frozenset[str]:
    """Sides whose tilt was read with a level or plumb line."""
    lines = {
        "left": opening.plumb.left,
        "right": opening.plumb.right,
        "head": opening.head_levels,
        "sill": opening.sill_levels,
    }
    return frozenset(side for side, readings in lines.items() if len(readings) > 1)


def _walls(
    rows: SurveyRows, drawn: Drawn, weights: Numbers, splays: Drawn, kinds: Indices
) -> DrawnWalls:
    """With the foot of the left jamb of the mean opening for the origin."""
    profiles = np.ascontiguousarray(drawn.transpose(1, 2, 0, 3)).reshape(-1, POINTS, DRAWS)
    profiles[[LEFT, RIGHT]] -= single(profiles[LEFT, 0] @ weights[0])
    profiles[[HEAD, SILL]] -= single(profiles[SILL, 0] @ weights[1])
    profiles[RIGHT] += single(rows.width)
    profiles[HEAD] += single(rows.height)
    places = single(PLACES)[:, None]
    deeper = splays[:, None, 0] * (1 - places) + splays[:, None, 1] * places
    np.maximum(deeper, 0.0, out=deeper)
    deeper += single(INWARD)[:, None, None] * profiles
    return DrawnWalls(profiles, splays, deeper, weights, kinds)


def _settled(measurement: Measurement, rows: SurveyRows) -> OpeningPrior:
    """The prior with the diagonals taken about the opening, and tilts as wide as it needs.

    Both follow from the opening itself, so it is worked out a few times with the average wall. A
    diagonal counts for little there as long as it is far off, since it may be misread.
    """
    usual = _usual_tilts(measurement.priors)
    read = measurement.opening.diagonals
    lengths, doubt = np.array([read.rising, read.falling]), np.full(2, DOUBTED_DIAGONAL)
    prior = opening_prior(rows, measurement, usual, SIMPLE_KINDS)
    for step in range(STEPS):
        profiles, leans = _average(prior, doubt)
        spans = _spans(profiles, rows)
        doubt = np.abs(lengths - np.hypot(*spans.T)) / 2
        set_diagonals(rows, (read.rising, read.falling), spans)
        tilts = np.sqrt((TAIL_DEGREES * usual**2 + leans**2) / (TAIL_DEGREES + 1))
        kinds = SIMPLE_KINDS if step < STEPS - 1 else len(KINDS)
        prior = opening_prior(rows, measurement, np.maximum(tilts, usual), kinds)
    return prior


def _usual_tilts(priors: Priors) -> Numbers:
    return np.array([priors.plumbness] * 2 + [priors.levelness] * 2)


def _average(prior: OpeningPrior, doubt: Numbers) -> tuple[Numbers, Numbers]:
    """Mean profiles, (4, points), and tilts of an opening whose walls are of no kind known; with
    so much doubt about both diagonals, mm."""
    readings = prior.readings[:, :SIMPLE_KINDS].mean(axis=1).sum(axis=0) + prior.line_readings
    rising = prior.rows.names.index("diagonals.rising")
    readings[[rising, rising + 1], [rising, rising + 1]] += doubt**2
    solved = np.linalg.solve(readings, prior.rows.values)
    profiles = (prior.profiles[:, :SIMPLE_KINDS].mean(axis=1) + prior.line_profiles) @ solved
    lines = prior.line_variances * (prior.rows.lines.T @ solved)
    return profiles, lines[TILTS]


def _spans(profiles: Numbers, rows: SurveyRows) -> Numbers:
    """How far both diagonals run to the right and upward, mm."""
    left, right, head, sill = profiles
    wide, high = rows.width, rows.height
    return np.array(
        [
            [wide + right[-1] - left[0], high + head[-1] - sill[0]],
            [wide + right[0] - left[-1], high + head[0] - sill[-1]],
        ]
    )
