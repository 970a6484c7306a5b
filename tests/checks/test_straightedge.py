"""What a straightedge reading says of a wall, against drawing walls until one agrees with it."""

from dataclasses import replace

import numpy as np
import pytest
from scipy.stats import multivariate_normal

from surveys.arithmetic.readings import Straightedge
from surveys.arithmetic.side_prior import side_prior
from surveys.arithmetic.uncertainty import Instrument
from surveys.arithmetic.wall_kinds import KINDS, weights
from surveys.arithmetic.walled_opening import work_out
from tests.surveys.openings import LEANING, PRIORS, measured

# So poor an instrument that the sizes say nothing of how the walls depart from their lines.
POOR = Instrument("laser", expanded_uncertainty=400.0, coverage_factor=2.0)
READ_TO = 0.42
DRAWS = 40000
HEIGHT = 2120


def accepted(hump: float) -> tuple[np.ndarray, np.ndarray]:
    """Departures from the line through the ends of walls whose highest point agrees with the
    reading, and the families that they are of: rejection, by brute force."""
    prior = side_prior(HEIGHT, PRIORS.straightness, "unknown")
    rng = np.random.default_rng(8)
    points = prior.smooth.shape[-1]
    along = np.linspace(0, 1, points)
    kept, families = [], []
    for kind, share, smooth, rough in zip(
        KINDS, weights("unknown", "left"), prior.smooth, prior.rough, strict=True
    ):
        wall = multivariate_normal(cov=smooth + rough * np.eye(points), allow_singular=True)
        drawn = wall.rvs(int(DRAWS * share), random_state=rng)
        off = drawn - np.outer(drawn[:, 0], 1 - along) - np.outer(drawn[:, -1], along)
        likely = np.exp(-0.5 * ((off.max(axis=1) - hump) / READ_TO) ** 2)
        agreeing = rng.random(len(off)) < likely
        kept.append(off[agreeing])
        families += [kind.family] * int(agreeing.sum())
    return np.concatenate(kept), np.array(families)


@pytest.mark.parametrize("hump", [0.0, 1.0, 3.0, 6.0])
def test_a_straightedge_reading_leaves_the_walls_that_agree_with_it(hump):
    # reference library: scipy 1.17, scipy.stats.multivariate_normal, and rejection
    expected, families = accepted(hump)
    opening = replace(LEANING, straightedge=(Straightedge("left", hump),), splay=())
    opening = replace(opening, plumb=type(opening.plumb)(), sill_levels=())
    walls = work_out(replace(measured(opening), instrument=POOR)).drawn
    profiles, shares = walls.profiles[0], walls.weights[0]
    along = np.linspace(0, 1, len(profiles))[:, None]
    off = profiles - profiles[0] * (1 - along) - profiles[-1] * along
    assert shares @ off.max(axis=0) == pytest.approx(expected.max(axis=1).mean(), abs=0.15)
    for point in (8, 15, 22):
        mean, spread = expected[:, point].mean(), expected[:, point].std()
        assert shares @ off[point] == pytest.approx(mean, abs=0.25 * spread + 0.1)
    of_kinds = dict(zip(range(len(KINDS)), walls.kinds(0), strict=True))
    for family in ("straight", "coursed", "bulged", "bowed"):
        share = sum(p for k, p in of_kinds.items() if KINDS[k].family == family)
        assert share == pytest.approx(np.mean(families == family), abs=0.08)
