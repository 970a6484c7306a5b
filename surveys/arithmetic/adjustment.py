"""The opening that agrees best with all its readings: weighted least squares, with outlier tests.

The outline has eight knots: four corners and the middle of each side, sides straight between knots.
Its foot of the left jamb is the origin, so ten numbers describe it: the other three corners and
how far each side's middle stands off the line between its corners. Four more are the datums of the
level and plumb lines. Readings, and weak prior knowledge (a side is about straight, level, plumb),
are observations of these numbers; all but the diagonals are linear in them.
"""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from surveys.arithmetic.readings import Measurement, PlacedReading, check
from surveys.arithmetic.uncertainty import standard_uncertainty

Numbers = npt.NDArray[np.float64]

# Indices of the numbers that describe an outline: corners B(ottom) R(ight), T(op) R, T L(eft), the
# offsets of the four middles, and the datums of the four lines.
BR_X, BR_Y, TR_X, TR_Y, TL_X, TL_Y = range(6)
SILL_BOW, HEAD_BOW, LEFT_BOW, RIGHT_BOW = range(6, 10)
SILL_DATUM, HEAD_DATUM, LEFT_DATUM, RIGHT_DATUM = range(10, 14)
SHAPE_COUNT, COUNT = 10, 14
# A line's height or position says nothing; this only keeps the equations solvable, mm.
DATUM_DEVIATION = 1e4
STEPS = 2
# A set contradicts itself when chance alone would make it this bad in one set of a hundred.
SIGNIFICANCE = 0.01
# Two-sided 0.1 % of a normal distribution: beyond it a single reading is to blame.
GREATEST_NORMALISED_RESIDUAL = 3.29
# Readings nearly as bad as the worst cannot be told from it.
NEARLY_AS_BAD = 0.85
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

    @property
    def contradictory(self) -> bool:
        return bool(self.suspects)


def triangle(t: Numbers) -> Numbers:
    """1 in the middle of a side, 0 at both ends: how far a middle's offset is felt at share t."""
    return 1 - np.abs(2 * t - 1)


def jamb_rows(t: Numbers, right: bool) -> Numbers:
    """Rows that give a jamb's x at shares t of its height."""
    rows = np.zeros((len(t), COUNT))
    if right:
        rows[:, BR_X], rows[:, TR_X], rows[:, RIGHT_BOW] = 1 - t, t, triangle(t)
    else:
        rows[:, TL_X], rows[:, LEFT_BOW] = t, triangle(t)
    return rows


def level_rows(t: Numbers, head: bool) -> Numbers:
    """Rows that give the sill's or head's y at shares t of the width."""
    rows = np.zeros((len(t), COUNT))
    if head:
        rows[:, TL_Y], rows[:, TR_Y], rows[:, HEAD_BOW] = 1 - t, t, triangle(t)
    else:
        rows[:, BR_Y], rows[:, SILL_BOW] = t, triangle(t)
    return rows


def adjust(measurement: Measurement) -> Adjustment:
    """Adjust one set of readings. Raises `UnusableInput` for a set that cannot be adjusted."""
    check(measurement)
    system = _equations(measurement)
    numbers, rows = _solve(system)
    normal = rows.T @ rows
    covariance = np.linalg.inv(normal).astype(np.float64)
    misfit = (system.fitted(numbers) - system.values) / system.deviations
    redundancy: Numbers = 1 - ((rows @ covariance) * rows).sum(axis=1)
    return _conclude(system, numbers, covariance, misfit, redundancy)


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

    def fitted(self, numbers: Numbers) -> Numbers:
        fitted: Numbers = self.rows @ numbers
        fitted[self.rising] = np.hypot(numbers[TR_X], numbers[TR_Y])
        fitted[self.rising + 1] = np.hypot(
            numbers[BR_X] - numbers[TL_X], numbers[BR_Y] - numbers[TL_Y]
        )
        return fitted

    def fill_diagonals(self, numbers: Numbers) -> None:
        """Derivatives of both diagonals at the present outline."""
        rising, falling = self.rows[self.rising], self.rows[self.rising + 1]
        x, y = numbers[TR_X], numbers[TR_Y]
        rising[TR_X], rising[TR_Y] = np.array([x, y]) / np.hypot(x, y)
        x, y = numbers[BR_X] - numbers[TL_X], numbers[BR_Y] - numbers[TL_Y]
        falling[BR_X], falling[BR_Y] = np.array([x, y]) / np.hypot(x, y)
        falling[TL_X], falling[TL_Y] = -falling[BR_X], -falling[BR_Y]


def _solve(system: _Equations) -> tuple[Numbers, Numbers]:
    """Gauss-Newton; answers the outline and the rows, each over its deviation, at the outline."""
    numbers = system.start.copy()
    for _ in range(STEPS):
        system.fill_diagonals(numbers)
        rows = system.rows / system.deviations[:, None]
        misfit = (system.values - system.fitted(numbers)) / system.deviations
        numbers = numbers + np.linalg.solve(rows.T @ rows, rows.T @ misfit)
    return numbers, rows


def _equations(measurement: Measurement) -> _Equations:
    opening, plumb = measurement.opening, measurement.opening.plumb
    width = float(np.mean([reading.value for reading in opening.widths]))
    height = float(np.mean([reading.value for reading in opening.heights]))
    names, rows, values, deviations = _size_rows(measurement, width, height)
    rising = len(names) - 2
    for name, readings, size, datum in (
        ("sill_levels", opening.sill_levels, width, SILL_DATUM),
        ("head_levels", opening.head_levels, width, HEAD_DATUM),
        ("plumb.left", plumb.left, height, LEFT_DATUM),
        ("plumb.right", plumb.right, height, RIGHT_DATUM),
    ):
        if readings:
            names += _names(name, readings)
            rows.append(_line_rows(readings, size, datum))
            values += [reading.value for reading in readings]
            assert measurement.level_instrument is not None  # noqa: S101 `check` made sure
            deviations += [standard_uncertainty(measurement.level_instrument, 0.0)] * len(readings)
    prior_rows, prior_deviations = _prior_rows(measurement)
    start = np.zeros(COUNT)
    start[[BR_X, TR_X]], start[[TR_Y, TL_Y]] = width, height
    return _Equations(
        names=tuple(names),
        rows=np.vstack([*rows, prior_rows]),
        values=np.array(values + [0.0] * len(prior_rows)),
        deviations=np.array(deviations + prior_deviations),
        rising=rising,
        start=start,
        datums=len(rows) - 3,
    )


def _size_rows(
    measurement: Measurement, width: float, height: float
) -> tuple[list[str], list[Numbers], list[float], list[float]]:
    opening = measurement.opening
    up = np.clip([reading.at / height for reading in opening.widths], 0, 1)
    along = np.clip([reading.at / width for reading in opening.heights], 0, 1)
    values = [reading.value for reading in (*opening.widths, *opening.heights)]
    values += [opening.diagonals.rising, opening.diagonals.falling]
    return (
        [
            *_names("widths", opening.widths),
            *_names("heights", opening.heights),
            "diagonals.rising",
            "diagonals.falling",
        ],
        [
            jamb_rows(up, right=True) - jamb_rows(up, right=False),
            level_rows(along, head=True) - level_rows(along, head=False),
            np.zeros((2, COUNT)),
        ],
        values,
        [standard_uncertainty(measurement.instrument, value) for value in values],
    )


def _names(kind: str, readings: tuple[PlacedReading, ...]) -> list[str]:
    return [f"{kind}.{index}" for index in range(len(readings))]


def _line_rows(readings: tuple[PlacedReading, ...], size: float, datum: int) -> Numbers:
    t = np.clip([reading.at / size for reading in readings], 0, 1)
    if datum in (SILL_DATUM, HEAD_DATUM):
        rows = level_rows(t, head=datum == HEAD_DATUM)
    else:
        rows = jamb_rows(t, right=datum == RIGHT_DATUM)
    rows[:, datum] = -1
    return rows


def _prior_rows(measurement: Measurement) -> tuple[Numbers, list[float]]:
    """Sides about straight, sill and head about level, jambs about plumb; datums about anything."""
    priors = measurement.priors
    rows = np.zeros((12, COUNT))
    for row, bow in enumerate((SILL_BOW, HEAD_BOW, LEFT_BOW, RIGHT_BOW)):
        rows[row, bow] = 1
    rows[4, BR_Y] = 1
    rows[5, [TR_Y, TL_Y]] = 1, -1
    rows[6, TL_X] = 1
    rows[7, [TR_X, BR_X]] = 1, -1
    for row, datum in enumerate((SILL_DATUM, HEAD_DATUM, LEFT_DATUM, RIGHT_DATUM), start=8):
        rows[row, datum] = 1
    deviations = [priors.straightness] * 4 + [priors.levelness] * 2 + [priors.plumbness] * 2
    return rows, deviations + [DATUM_DEVIATION] * 4


def _conclude(
    system: _Equations,
    numbers: Numbers,
    covariance: Numbers,
    misfit: Numbers,
    redundancy: Numbers,
) -> Adjustment:
    from scipy.special import chdtrc  # noqa: PLC0415 slow to import, and only needed here

    chi_square = float(misfit @ misfit)
    # Eight priors are observations like readings; each datum in use costs one of them.
    freedom = len(system.names) + 8 - SHAPE_COUNT - system.datums
    p_value = float(chdtrc(freedom, chi_square))
    residuals = tuple(
        Residual(
            name,
            float(system.values[i]),
            float(misfit[i] * system.deviations[i]),
            float(misfit[i] / np.sqrt(max(redundancy[i], LEAST_REDUNDANCY))),
            float(redundancy[i]),
        )
        for i, name in enumerate(system.names)
    )
    return Adjustment(
        shape=numbers[:SHAPE_COUNT],
        covariance=covariance[:SHAPE_COUNT, :SHAPE_COUNT],
        chi_square=chi_square,
        degrees_of_freedom=freedom,
        p_value=p_value,
        residuals=residuals,
        suspects=_suspects(residuals, p_value),
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
