"""Observation equations of an opening: what each reading, and each piece of weak prior knowledge,
says about the numbers of the outline. All but the diagonals are linear in them."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from math import hypot

import numpy as np

from jobs.sentences import sentence
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
    jamb_row,
    level_row,
    share,
)
from surveys.arithmetic.readings import Measurement, PlacedReading, Priors
from surveys.arithmetic.rows import Numbers
from surveys.arithmetic.uncertainty import standard_uncertainty

# A line's height or position says nothing; this only keeps the equations solvable, mm.
DATUM_DEVIATION = 1e4
# In the order of their rows; the first four are of straightness.
STRAIGHT_COUNT = 4
PRIOR_NAMES = (
    sentence("straight sill"),
    sentence("straight head"),
    sentence("straight left jamb"),
    sentence("straight right jamb"),
    sentence("level sill"),
    sentence("level head"),
    sentence("plumb left jamb"),
    sentence("plumb right jamb"),
)


@dataclass(frozen=True, slots=True)
class Equations:
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
        rising, falling = _diagonals(numbers)
        fitted[self.rising], fitted[self.rising + 1] = hypot(*rising), hypot(*falling)
        return fitted

    def fill_diagonals(self, numbers: Numbers) -> None:
        """Derivatives of both diagonals at the present outline."""
        rising, falling = self.rows[self.rising], self.rows[self.rising + 1]
        (x, y), (right, up) = _diagonals(numbers)
        length = hypot(x, y)
        rising[TR_X], rising[TR_Y] = x / length, y / length
        length = hypot(right, up)
        falling[BR_X], falling[BR_Y] = right / length, up / length
        falling[TL_X], falling[TL_Y] = -right / length, -up / length


def _diagonals(numbers: Numbers) -> tuple[tuple[float, float], tuple[float, float]]:
    """How far the rising and the falling diagonal run to the right and upward, mm."""
    br_x, br_y, tr_x, tr_y, tl_x, tl_y = numbers[:SILL_BOW].tolist()
    return (tr_x, tr_y), (br_x - tl_x, br_y - tl_y)


def observation_equations(measurement: Measurement) -> Equations:
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
    prior_rows, prior_deviations = _prior_rows(), _prior_deviations(measurement.priors)
    start = np.zeros(COUNT)
    start[[BR_X, TR_X]], start[[TR_Y, TL_Y]] = width, height
    return Equations(
        names=tuple(names),
        rows=np.concatenate([rows, prior_rows]),
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


@cache
def _prior_rows() -> Numbers:
    """Sides about straight, sill and head about level, jambs about plumb; datums about anything.
    They are the same for every opening."""
    knowledge: list[dict[int, float]] = [
        *({bow: 1.0} for bow in (SILL_BOW, HEAD_BOW, LEFT_BOW, RIGHT_BOW)),
        {BR_Y: 1.0},
        {TR_Y: 1.0, TL_Y: -1.0},
        {TL_X: 1.0},
        {TR_X: 1.0, BR_X: -1.0},
        *({datum: 1.0} for datum in (SILL_DATUM, HEAD_DATUM, LEFT_DATUM, RIGHT_DATUM)),
    ]
    return np.array([[told.get(index, 0.0) for index in range(COUNT)] for told in knowledge])


def _prior_deviations(priors: Priors) -> list[float]:
    """In the order of the prior rows."""
    return [
        *[priors.straightness] * STRAIGHT_COUNT,
        *[priors.levelness] * 2,
        *[priors.plumbness] * 2,
        *[DATUM_DEVIATION] * (COUNT - SHAPE_COUNT),
    ]
