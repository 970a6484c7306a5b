"""How probable each kind of wall is on each side, given all readings."""

from dataclasses import dataclass, replace

import numpy as np

from surveys.arithmetic.opening_prior import OpeningPrior
from surveys.arithmetic.readings import SIDES, Measurement
from surveys.arithmetic.rows import Numbers
from surveys.arithmetic.survey_rows import HEAD, LEFT, RIGHT, SILL
from surveys.arithmetic.wall_evidence import PairEvidence, pair_evidence
from surveys.arithmetic.wall_kinds import KINDS, weights

COUNT = len(KINDS)
JAMBS, LEVELS = (LEFT, RIGHT), (HEAD, SILL)
# A straightedge reading, mm: rounded to the millimetre (0.29), and how steadily it is held (0.3).
STRAIGHTEDGE_DEVIATION = 0.42
LEAST_LIKELIHOOD = 1e-12


@dataclass(frozen=True, slots=True)
class WallMixture:
    """Probabilities of the pairs of kinds of both jambs and of head and sill, (pairs,), with what
    each pair says of the readings; `humps` are the probabilities of the straightedge readings of
    each side under each kind by itself, (4, kinds), 1 where there are none."""

    jambs: Numbers
    levels: Numbers
    jamb_evidence: PairEvidence
    level_evidence: PairEvidence
    humps: Numbers


def wall_mixture(prior: OpeningPrior, measurement: Measurement) -> WallMixture:
    surfaces = measurement.surfaces
    common = np.array([weights(getattr(surfaces, side), side) for side in SIDES])
    humps = _hump_likelihoods(prior, measurement)
    expected = common * humps
    expected /= expected.sum(axis=1, keepdims=True)
    levels = _expected_readings(prior, LEVELS, expected)
    jambs, jamb_evidence = _pairs(prior, JAMBS, expected, levels)
    expected[[*JAMBS]] = _marginals(jambs)
    others = _expected_readings(prior, JAMBS, expected)
    levels, level_evidence = _pairs(prior, LEVELS, common * humps, others)
    return WallMixture(jambs, levels, jamb_evidence, level_evidence, humps)


def _pairs(
    prior: OpeningPrior, pair: tuple[int, int], expected: Numbers, others: Numbers
) -> tuple[Numbers, PairEvidence]:
    evidence = pair_evidence(prior, pair, others)
    first, second = pair
    known = np.log(np.maximum(expected, LEAST_LIKELIHOOD))
    joint = evidence.logarithms + (known[first][:, None] + known[second][None, :]).ravel()
    probabilities = np.exp(joint - joint.max())
    # With what was known before, and not rounded to nothing.
    evidence = replace(evidence, logarithms=joint - joint.max())
    return probabilities / probabilities.sum(), evidence


def _marginals(pairs: Numbers) -> Numbers:
    table = pairs.reshape(COUNT, COUNT)
    return np.array([table.sum(axis=1), table.sum(axis=0)])


def _expected_readings(
    prior: OpeningPrior, pair: tuple[int, int], probabilities: Numbers
) -> Numbers:
    """Covariance of the readings by two sides, on average over their kinds."""
    sides = [*pair]
    mean: Numbers = np.einsum("sk,skij->ij", probabilities[sides], prior.readings[sides])
    return mean


def _hump_likelihoods(prior: OpeningPrior, measurement: Measurement) -> Numbers:
    likelihoods = np.ones((len(SIDES), COUNT))
    for reading in measurement.opening.straightedge:
        side = SIDES.index(reading.side)
        off = (prior.sides[side].humps - reading.hump) / STRAIGHTEDGE_DEVIATION
        likelihoods[side] *= np.exp(-0.5 * off**2).mean(axis=1) + LEAST_LIKELIHOOD
    return likelihoods
