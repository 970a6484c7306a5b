"""The opening that agrees best with all its readings: weighted least squares, with outlier tests.

Readings, and weak prior knowledge (a side is about straight, level, plumb), are observations of the
outline's numbers; all but the diagonals are linear in them. An old house may stand further out than
that knowledge expects. Where the readings agree with each other and only level or plumb disagrees
with them, it is stretched to what they say and the opening adjusted again, so that it neither
accuses a sound reading nor pulls the answer its way.
"""

from dataclasses import dataclass, replace

import numpy as np

from surveys.arithmetic.answers import Residual, Suspect
from surveys.arithmetic.equations import (
    PRIOR_NAMES,
    STRAIGHT_COUNT,
    Equations,
    observation_equations,
)
from surveys.arithmetic.outline import SHAPE_COUNT
from surveys.arithmetic.reading_checks import check
from surveys.arithmetic.readings import GREATEST_NORMALISED_RESIDUAL, Measurement
from surveys.arithmetic.rows import Numbers

STEPS = 2
# A set contradicts itself when chance alone would make it this bad in one set of a hundred.
SIGNIFICANCE = 0.01
# Readings nearly as bad as the worst cannot be told from it.
NEARLY_AS_BAD = 0.85
# Within this many deviations a prior is as wrong as priors may be.
ORDINARY_DEVIATIONS = 2.0
# Below this share of its own redundancy a reading is not checked by the others at all.
LEAST_REDUNDANCY = 1e-6


@dataclass(frozen=True, slots=True)
class Adjustment:
    """`shape` and `covariance` describe the outline by its ten numbers, in their order, mm."""

    shape: Numbers
    covariance: Numbers
    chi_square: float
    degrees_of_freedom: int
    p_value: float
    residuals: tuple[Residual, ...]
    suspects: tuple[Suspect, ...]
    # What was expected of the opening before it was read, and which the readings overrule.
    overruled: tuple[str, ...]

    @property
    def contradictory(self) -> bool:
        return bool(self.suspects)


def adjust(measurement: Measurement) -> Adjustment:
    """Adjust one set of readings. Raises `UnusableInput` for a set that cannot be adjusted."""
    check(measurement)
    system = observation_equations(measurement)
    solution = _solve(system)
    overruled = _overruled(system, solution)
    if overruled:
        system = _stretched(system, solution, overruled)
        solution = _solve(system)
    return _conclude(system, solution, tuple(PRIOR_NAMES[i] for i in overruled))


@dataclass(frozen=True, slots=True)
class _Solution:
    """`misfit` is fitted less observed over its deviation, `normalised` over its own spread;
    `p_value` is the probability that chance alone makes a set this bad or worse."""

    numbers: Numbers
    covariance: Numbers
    misfit: Numbers
    redundancy: Numbers
    normalised: Numbers
    chi_square: float
    p_value: float


def _solve(system: Equations) -> _Solution:
    """Gauss-Newton."""
    numbers = system.start.copy()
    for _ in range(STEPS):
        system.fill_diagonals(numbers)
        rows = system.rows / system.deviations[:, None]
        covariance = np.linalg.inv(rows.T @ rows).astype(np.float64)
        misfit = (system.values - system.fitted(numbers)) / system.deviations
        numbers = numbers + covariance @ (rows.T @ misfit)
    misfit = (system.fitted(numbers) - system.values) / system.deviations
    redundancy: Numbers = 1 - ((rows @ covariance) * rows).sum(axis=1)
    normalised = misfit / np.sqrt(np.maximum(redundancy, LEAST_REDUNDANCY))
    chi_square = float(misfit @ misfit)
    p_value = _p_value(system.freedom, chi_square)
    return _Solution(numbers, covariance, misfit, redundancy, normalised, chi_square, p_value)


def _overruled(system: Equations, solution: _Solution) -> list[int]:
    """Priors of level and plumb, by their place in `PRIOR_NAMES`, each of which alone disagrees
    with the set clearly more than anything else does; none while chance explains the set.

    A prior that is no worse than the worst reading may be off because of that reading: where one
    checks the other alone they are equally bad, and it is the reading that must be taken again.
    Straightness never yields: a bow that nobody saw would explain away almost any misreading.
    """
    if solution.p_value >= SIGNIFICANCE:
        return []
    first, last = len(system.names) + STRAIGHT_COUNT, len(system.names) + len(PRIOR_NAMES)
    firm, yielding = np.split(np.abs(solution.normalised[:last]), [first])
    blameless = max(firm.max() / NEARLY_AS_BAD, ORDINARY_DEVIATIONS)
    return [STRAIGHT_COUNT + int(place) for place in np.flatnonzero(yielding > blameless)]


def _stretched(system: Equations, solution: _Solution, overruled: list[int]) -> Equations:
    """The same equations, with each overruled prior as wide as the readings say it must be."""
    deviations = system.deviations.copy()
    places = len(system.names) + np.array(overruled)
    deviations[places] *= np.maximum(np.abs(solution.normalised[places]), 1.0)
    return replace(system, deviations=deviations)


def _p_value(freedom: int, chi_square: float) -> float:
    from scipy.special import chdtrc  # noqa: PLC0415 slow to import, and only needed here

    return float(chdtrc(freedom, chi_square))


def _conclude(system: Equations, solution: _Solution, overruled: tuple[str, ...]) -> Adjustment:
    columns = (
        system.values,
        solution.misfit * system.deviations,
        solution.normalised,
        solution.redundancy,
    )
    residuals = tuple(
        Residual(name, *figures)
        for name, *figures in zip(system.names, *(c.tolist() for c in columns), strict=False)
    )
    return Adjustment(
        shape=solution.numbers[:SHAPE_COUNT],
        covariance=solution.covariance[:SHAPE_COUNT, :SHAPE_COUNT],
        chi_square=solution.chi_square,
        degrees_of_freedom=system.freedom,
        p_value=solution.p_value,
        residuals=residuals,
        suspects=_suspects(residuals, solution.p_value),
        overruled=overruled,
    )


def _suspects(residuals: tuple[Residual, ...], p_value: float) -> tuple[Suspect, ...]:
    """The worst reading and those nearly as bad, worst first, where the set contradicts itself."""
    ranked = sorted(
        (r for r in residuals if r.redundancy > LEAST_REDUNDANCY),
        key=lambda r: -abs(r.normalised),
    )
    worst = abs(ranked[0].normalised) if ranked else 0.0
    if p_value >= SIGNIFICANCE and worst <= GREATEST_NORMALISED_RESIDUAL:
        return ()
    return tuple(
        Suspect(r.reading, r.normalised, r.value + r.residual / r.redundancy)
        for r in ranked
        if abs(r.normalised) >= NEARLY_AS_BAD * worst
    )
