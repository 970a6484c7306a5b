"""The opening that agrees best with all its readings: weighted least squares, with outlier tests.

Readings, and weak prior knowledge (a side is about straight, level, plumb), are observations of the
outline's numbers; all but the diagonals are linear in them. An old house may stand far further out
than that knowledge expects. Where the readings agree with each other and only the knowledge
disagrees, it is the knowledge that is wrong: it is stretched to what the readings say and the
opening adjusted again, so that it neither accuses a sound reading nor pulls the answer its way.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import hypot

import numpy as np

from surveys.arithmetic.outline import (
    BR_X,
    BR_Y,
    COUNT,
    HEAD_BOW,
    HEAD_DATUM,
    LEFT_BOW,
    LEFT_DATUM,
    RIGHT_BOW,
    RIGHT_DATUM,
    SHAPE_COUNT,
    SILL_BOW,
    SILL_DATUM,
    TL_X,
    TL_Y,
    TR_X,
    TR_Y,
    Numbers,
    jamb_row,
    level_row,
    share,
)
from surveys.arithmetic.readings import Measurement, PlacedReading, check
from surveys.arithmetic.uncertainty import standard_uncertainty

# A line's height or position says nothing; this only keeps the equations solvable, mm.
DATUM_DEVIATION = 1e4
STEPS = 2
# A set contradicts itself when chance alone would make it this bad in one set of a hundred.
SIGNIFICANCE = 0.01
# Two-sided 0.1 % of a normal distribution: beyond it a single reading is to blame.
GREATEST_NORMALISED_RESIDUAL = 3.29
# Readings nearly as bad as the worst cannot be told from it.
NEARLY_AS_BAD = 0.85
# Within this many deviations a prior is as wrong as priors may be.
ORDINARY_DEVIATIONS = 2.0
# In the order of their rows.
PRIOR_NAMES = (
    "straight sill",
    "straight head",
    "straight left jamb",
    "straight right jamb",
    "level sill",
    "level head",
    "plumb left jamb",
    "plumb right jamb",
)
# Below this share of its own redundancy a reading is not checked by the others at all.
LEAST_REDUNDANCY = 1e-6


@dataclass(frozen=True, slots=True)
class Residual:
    """`residual` is fitted less read, mm; `normalised` in standard deviations of itself."""

    reading: str
    value: float
    residual: float
    normalised: float
    redundancy: float


@dataclass(frozen=True, slots=True)
class Suspect:
    """A reading that could be to blame; `likely_value` is what the others say it should be, mm."""

    reading: str
    normalised_residual: float
    likely_value: float


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
    system = _equations(measurement)
    solution = _solve(system)
    overruled = _overruled(system, solution)
    if overruled:
        system = _stretched(system, solution, overruled)
        solution = _solve(system)
    return _conclude(system, solution, tuple(PRIOR_NAMES[i] for i in overruled))


@dataclass(frozen=True, slots=True)
class _Equations:
    """Linear rows of all observations; the two diagonals' rows are filled in at each step."""

    names: tuple[str, ...]
    rows: Numbers
    values: Numbers
    deviations: Numbers
    rising: int
    start: Numbers
    datums: int

    @property
    def freedom(self) -> int:
        """Priors are observations like readings; each datum in use costs one observation."""
        return len(self.names) + len(PRIOR_NAMES) - SHAPE_COUNT - self.datums

    def fitted(self, numbers: Numbers) -> Numbers:
        fitted: Numbers = self.rows @ numbers
        fitted[self.rising] = hypot(numbers[TR_X], numbers[TR_Y])
        fitted[self.rising + 1] = hypot(
            numbers[BR_X] - numbers[TL_X], numbers[BR_Y] - numbers[TL_Y]
        )
        return fitted

    def fill_diagonals(self, numbers: Numbers) -> None:
        """Derivatives of both diagonals at the present outline."""
        rising, falling = self.rows[self.rising], self.rows[self.rising + 1]
        x, y = numbers[TR_X], numbers[TR_Y]
        rising[TR_X], rising[TR_Y] = x / hypot(x, y), y / hypot(x, y)
        x, y = numbers[BR_X] - numbers[TL_X], numbers[BR_Y] - numbers[TL_Y]
        falling[BR_X], falling[BR_Y] = x / hypot(x, y), y / hypot(x, y)
        falling[TL_X], falling[TL_Y] = -falling[BR_X], -falling[BR_Y]


@dataclass(frozen=True, slots=True)
class _Solution:
    """`misfit` is fitted less observed over its deviation, `normalised` over its own spread."""

    numbers: Numbers
    covariance: Numbers
    misfit: Numbers
    redundancy: Numbers
    normalised: Numbers

    @property
    def chi_square(self) -> float:
        return float(self.misfit @ self.misfit)


def _solve(system: _Equations) -> _Solution:
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
    return _Solution(numbers, covariance, misfit, redundancy, normalised)


def _overruled(system: _Equations, solution: _Solution) -> list[int]:
    """Priors that disagree with a set clearly more than any of its readings does, by their place
    in `PRIOR_NAMES`; none while chance explains the set. Where a reading is checked by one prior
    alone both are equally bad, and it is the reading that has to be taken again."""
    if _p_value(system, solution) >= SIGNIFICANCE:
        return []
    first = len(system.names)
    off = np.abs(solution.normalised[: first + len(PRIOR_NAMES)])
    if NEARLY_AS_BAD * off[first:].max() <= off[:first].max():
        return []
    return [int(i) for i in np.flatnonzero(off[first:] > ORDINARY_DEVIATIONS)]


def _stretched(system: _Equations, solution: _Solution, overruled: list[int]) -> _Equations:
    """The same equations, with each overruled prior as wide as the readings say it must be."""
    deviations = system.deviations.copy()
    places = len(system.names) + np.array(overruled)
    deviations[places] *= np.maximum(np.abs(solution.normalised[places]), 1.0)
    return replace(system, deviations=deviations)


def _p_value(system: _Equations, solution: _Solution) -> float:
    """Probability that chance alone makes a set this bad or worse."""
    from scipy.special import chdtrc  # noqa: PLC0415 slow to import, and only needed here

    return float(chdtrc(system.freedom, solution.chi_square))


def _equations(measurement: Measurement) -> _Equations:
    opening, plumb = measurement.opening, measurement.opening.plumb
    width = sum(reading.value for reading in opening.widths) / len(opening.widths)
    height = sum(reading.value for reading in opening.heights) / len(opening.heights)
    names = [*_names("widths", opening.widths), *_names("heights", opening.heights)]
    names += ["diagonals.rising", "diagonals.falling"]
    rows, values = _size_rows(measurement, width, height)
    rising = len(rows) - 2
    deviations = [standard_uncertainty(measurement.instrument, value) for value in values]
    lines = [
        (name, readings, size, datum)
        for name, readings, size, datum in (
            ("sill_levels", opening.sill_levels, width, SILL_DATUM),
            ("head_levels", opening.head_levels, width, HEAD_DATUM),
            ("plumb.left", plumb.left, height, LEFT_DATUM),
            ("plumb.right", plumb.right, height, RIGHT_DATUM),
        )
        if readings and measurement.level_instrument
    ]
    for name, readings, size, datum in lines:
        names += _names(name, readings)
        rows += [_line_row(share(reading.at, size), datum) for reading in readings]
        values += [reading.value for reading in readings]
    if measurement.level_instrument:
        level = standard_uncertainty(measurement.level_instrument, 0.0)
        deviations += [level] * (len(rows) - len(deviations))
    prior_rows, prior_deviations = _prior_rows(measurement)
    start = np.zeros(COUNT)
    start[[BR_X, TR_X]], start[[TR_Y, TL_Y]] = width, height
    return _Equations(
        names=tuple(names),
        rows=np.array(rows + prior_rows),
        values=np.array(values + [0.0] * len(prior_rows)),
        deviations=np.array(deviations + prior_deviations),
        rising=rising,
        start=start,
        datums=len(lines),
    )


def _size_rows(
    measurement: Measurement, width: float, height: float
) -> tuple[list[list[float]], list[float]]:
    """Widths, heights and both diagonals, whose rows are filled in later."""
    opening = measurement.opening
    rows = []
    for reading in opening.widths:
        t = share(reading.at, height)
        rows.append(_less(jamb_row(t, right=True), jamb_row(t, right=False)))
    for reading in opening.heights:
        t = share(reading.at, width)
        rows.append(_less(level_row(t, head=True), level_row(t, head=False)))
    rows += [[0.0] * COUNT, [0.0] * COUNT]
    values = [reading.value for reading in (*opening.widths, *opening.heights)]
    return rows, [*values, opening.diagonals.rising, opening.diagonals.falling]


def _less(row: Sequence[float], other: Sequence[float]) -> list[float]:
    return [a - b for a, b in zip(row, other, strict=True)]


def _names(kind: str, readings: tuple[PlacedReading, ...]) -> list[str]:
    return [f"{kind}.{index}" for index in range(len(readings))]


def _line_row(t: float, datum: int) -> list[float]:
    if datum in (SILL_DATUM, HEAD_DATUM):
        row = level_row(t, head=datum == HEAD_DATUM)
    else:
        row = jamb_row(t, right=datum == RIGHT_DATUM)
    row[datum] = -1
    return row


def _prior_rows(measurement: Measurement) -> tuple[list[list[float]], list[float]]:
    """Sides about straight, sill and head about level, jambs about plumb; datums about anything."""
    priors = measurement.priors
    knowledge = (
        *(({bow: 1.0}, priors.straightness) for bow in (SILL_BOW, HEAD_BOW, LEFT_BOW, RIGHT_BOW)),
        ({BR_Y: 1.0}, priors.levelness),
        ({TR_Y: 1.0, TL_Y: -1.0}, priors.levelness),
        ({TL_X: 1.0}, priors.plumbness),
        ({TR_X: 1.0, BR_X: -1.0}, priors.plumbness),
        *(
            ({datum: 1.0}, DATUM_DEVIATION)
            for datum in (SILL_DATUM, HEAD_DATUM, LEFT_DATUM, RIGHT_DATUM)
        ),
    )
    rows = [[told.get(index, 0.0) for index in range(COUNT)] for told, _ in knowledge]
    return rows, [deviation for _, deviation in knowledge]


def _conclude(system: _Equations, solution: _Solution, overruled: tuple[str, ...]) -> Adjustment:
    p_value = _p_value(system, solution)
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
        p_value=p_value,
        residuals=residuals,
        suspects=_suspects(residuals, p_value),
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
