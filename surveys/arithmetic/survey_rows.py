"""What the readings of an opening say of its sides, as linear observations.

Each reading is a sum of profiles of sides, each at a place, of numbers that the sides' lines
have, of the datum of its level or plumb line, and of what all readings of one instrument share.
Profiles are those of the outside face: x of the jambs, y of sill and head.
"""

from dataclasses import dataclass
from math import hypot

import numpy as np

from surveys.arithmetic.outline import share
from surveys.arithmetic.readings import SIDES, Measurement, PlacedReading
from surveys.arithmetic.rows import Numbers
from surveys.arithmetic.uncertainty import Instrument, standard_uncertainty

LEFT, RIGHT, HEAD, SILL = range(4)
# Numbers of the lines: where right jamb and head stand, how the sides tilt from end to end; then
# the four datums; then what all readings of the instrument share: an offset and a scale.
RIGHT_X, HEAD_Y = 0, 1
TILTS = slice(2, 6)
DATUMS = slice(6, 10)
OFFSET, SCALE = 10, 11
LINE_COUNT = 12


@dataclass(frozen=True, slots=True)
class SurveyRows:
    """Readings as observations, one row each: `share` and `place` of the four sides' profiles, of
    shape (readings, 4); `lines` over the numbers of the lines; values and deviations in mm.

    `read` is what was read, `values` have the nominal opening, `width` by `height`, taken off;
    `datums` is how many level and plumb lines were read.
    """

    names: tuple[str, ...]
    read: tuple[float, ...]
    shares: Numbers
    places: Numbers
    lines: Numbers
    values: Numbers
    deviations: Numbers
    width: float
    height: float
    datums: int


def survey_rows(measurement: Measurement) -> SurveyRows:
    """Of all readings, with the diagonals taken about an opening of plumb jambs and level sill."""
    opening = measurement.opening
    width = float(np.median([reading.value for reading in opening.widths]))
    height = float(np.median([reading.value for reading in opening.heights]))
    rows = _Rows(measurement, width, height)
    rows.sizes("widths", opening.widths)
    rows.sizes("heights", opening.heights)
    rows.diagonals()
    rows.line("sill_levels", opening.sill_levels, SILL)
    rows.line("head_levels", opening.head_levels, HEAD)
    rows.line("plumb.left", opening.plumb.left, LEFT)
    rows.line("plumb.right", opening.plumb.right, RIGHT)
    rows.checks()
    return rows.stacked()


def line_row(side: int, place: float) -> Numbers:
    """What the numbers of the lines say of a side's line at a place."""
    row = np.zeros(LINE_COUNT)
    row[TILTS.start + side] = place
    if side == RIGHT:
        row[RIGHT_X] = 1
    if side == HEAD:
        row[HEAD_Y] = 1
    return row


def set_diagonals(rows: SurveyRows, read: tuple[float, float], spans: Numbers) -> None:
    """Take both diagonals about these spans: how far the rising and the falling one run to the
    right and upward, mm, of shape (2, 2). `read` are their readings."""
    rising = rows.names.index("diagonals.rising")
    for row, value, (across, upward), (start, end) in zip(
        (rising, rising + 1), read, spans, DIAGONALS, strict=True
    ):
        length = hypot(across, upward)
        cosine, sine = across / length, upward / length
        shares = ((end[0], cosine), (start[0], -cosine), (end[1], sine), (start[1], -sine))
        rows.lines[row] = 0
        for (side, place), part in shares:
            rows.shares[row, side], rows.places[row, side] = part, place
            rows.lines[row] += part * line_row(side, place)
        rows.lines[row, [OFFSET, SCALE]] = 1, length / 1000
        nominal = cosine * rows.width + sine * rows.height
        rows.values[row] = value - length + cosine * across + sine * upward - nominal


# Of both diagonals: side and place of the jamb and of the sill or head, from the least to the
# greatest x, and from the least to the greatest y.
DIAGONALS = (
    (((LEFT, 0.0), (SILL, 0.0)), ((RIGHT, 1.0), (HEAD, 1.0))),
    (((LEFT, 1.0), (SILL, 1.0)), ((RIGHT, 0.0), (HEAD, 0.0))),
)


class _Rows:
    """Collects observations one by one."""

    def __init__(self, measurement: Measurement, width: float, height: float) -> None:
        self.measurement, self.width, self.height = measurement, width, height
        self.names: list[str] = []
        self.read: list[float] = []
        self.parts: list[dict[int, tuple[float, float]]] = []
        self.lines: list[Numbers] = []
        self.values: list[float] = []
        self.deviations: list[float] = []
        self.datums = 0

    def sizes(self, name: str, readings: tuple[PlacedReading, ...]) -> None:
        for index, reading in enumerate(readings):
            self._size(f"{name}.{index}", name == "heights", reading, self.measurement.instrument)
            self.lines[-1][[OFFSET, SCALE]] = 1, reading.value / 1000

    def _size(self, name: str, upward: bool, reading: PlacedReading, by: Instrument) -> None:
        near, far = (SILL, HEAD) if upward else (LEFT, RIGHT)
        length, nominal = (self.width, self.height) if upward else (self.height, self.width)
        place = share(reading.at, length)
        line = line_row(far, place) - line_row(near, place)
        deviation = standard_uncertainty(by, reading.value)
        parts = {near: (-1.0, place), far: (1.0, place)}
        self._add(name, reading.value, parts, line, deviation)
        self.values[-1] -= nominal

    def diagonals(self) -> None:
        read = self.measurement.opening.diagonals
        for name in ("rising", "falling"):
            value = getattr(read, name)
            deviation = standard_uncertainty(self.measurement.instrument, value)
            self._add(f"diagonals.{name}", value, {}, np.zeros(LINE_COUNT), deviation)

    def line(self, name: str, readings: tuple[PlacedReading, ...], side: int) -> None:
        instrument = self.measurement.level_instrument
        if not readings or instrument is None:
            return
        deviation = standard_uncertainty(instrument, 0.0)
        # Their datum is anywhere; numbers near 0 keep the equations exact.
        middle = sum(reading.value for reading in readings) / len(readings)
        length = self.height if side in (LEFT, RIGHT) else self.width
        for index, reading in enumerate(readings):
            place = share(reading.at, length)
            line = line_row(side, place)
            line[[RIGHT_X, HEAD_Y]] = 0
            line[DATUMS.start + side] = 1
            self._add(f"{name}.{index}", reading.value, {side: (1.0, place)}, line, deviation)
            self.values[-1] -= middle
        self.datums += 1

    def checks(self) -> None:
        checks, second = self.measurement.opening.checks, self.measurement.check_instrument
        if second is not None:
            for name, readings in (("widths", checks.widths), ("heights", checks.heights)):
                for index, reading in enumerate(readings):
                    self._size(f"checks.{name}.{index}", name == "heights", reading, second)
        for index, known in enumerate(checks.known_lengths):
            line = np.zeros(LINE_COUNT)
            line[[OFFSET, SCALE]] = 1, known.length / 1000
            deviation = standard_uncertainty(self.measurement.instrument, known.length)
            self._add(f"checks.known_lengths.{index}", known.value, {}, line, deviation)
            self.values[-1] -= known.length

    def _add(
        self,
        name: str,
        value: float,
        parts: dict[int, tuple[float, float]],
        line: Numbers,
        deviation: float,
    ) -> None:
        self.names.append(name)
        self.read.append(value)
        self.parts.append(parts)
        self.lines.append(line)
        self.values.append(value)
        self.deviations.append(deviation)

    def stacked(self) -> SurveyRows:
        shares, places = np.zeros((2, len(self.names), len(SIDES)))
        for row, parts in enumerate(self.parts):
            for side, (part, place) in parts.items():
                shares[row, side], places[row, side] = part, place
        rows = SurveyRows(
            names=tuple(self.names),
            read=tuple(self.read),
            shares=shares,
            places=places,
            lines=np.array(self.lines),
            values=np.array(self.values),
            deviations=np.array(self.deviations),
            width=self.width,
            height=self.height,
            datums=self.datums,
        )
        read = self.measurement.opening.diagonals
        spans = np.array([[self.width, self.height]] * 2)
        set_diagonals(rows, (read.rising, read.falling), spans)
        return rows
