"""Which further reading would tell most about the size that is in doubt."""

from functools import cache
from math import sqrt

import numpy as np

from jobs.sentences import sentence
from surveys.arithmetic.adjustment import Adjustment
from surveys.arithmetic.fit_request import FitRequest
from surveys.arithmetic.outline import size_of
from surveys.arithmetic.rows import Numbers, knot_rows
from surveys.arithmetic.uncertainty import standard_uncertainty

# A level or plumb reading with the usual laser where none was named: 0.5 mm and the reading step.
USUAL_LEVEL_DEVIATION = 0.58
# Readings that could still be taken, in the order of their rows; the first eight are of a line.
LINE_COUNT = 8
CANDIDATES = (
    sentence("plumb of the left jamb, top against foot"),
    sentence("plumb of the left jamb, middle against foot"),
    sentence("plumb of the right jamb, top against foot"),
    sentence("plumb of the right jamb, middle against foot"),
    sentence("levels of the sill, right against left"),
    sentence("levels of the sill, middle against left"),
    sentence("levels of the head, right against left"),
    sentence("levels of the head, middle against left"),
    sentence("width at the foot"),
    sentence("width in the middle"),
    sentence("width at the top"),
    sentence("height at the left"),
    sentence("height in the middle"),
    sentence("height at the right"),
)


def settling_reading(adjustment: Adjustment, request: FitRequest) -> str:
    """Name of the reading after which the doubtful direction's uncertainty would be least.

    A new reading with row a and deviation s takes (g C a)^2 / (s^2 + a C a) off the variance of a
    size with gradient g, where C is the covariance of the outline.
    """
    rows = _candidate_rows()
    spread = rows @ adjustment.covariance
    told = spread @ _doubtful_gradient(adjustment, request)
    variances = _deviations(adjustment, request) ** 2 + (spread * rows).sum(axis=1)
    return CANDIDATES[int((told**2 / variances).argmax())]


def _doubtful_gradient(adjustment: Adjustment, request: FitRequest) -> Numbers:
    """Of the clear width or height, whichever has less to spare for its uncertainty."""
    left, right, sill, head = knot_rows()
    shape = adjustment.shape
    across = _extreme(right, shape, least=True) - _extreme(left, shape, least=False)
    upward = _extreme(head, shape, least=True) - _extreme(sill, shape, least=False)
    clearance, frame = request.clearance, request.frame
    needs = (
        frame.width + clearance.left + clearance.right,
        frame.height + clearance.head + clearance.sill,
    )
    doubts = [
        (row @ shape - need) / np.sqrt(row @ adjustment.covariance @ row)
        for row, need in zip((across, upward), needs, strict=True)
    ]
    doubtful: Numbers = across if doubts[0] <= doubts[1] else upward
    return doubtful


def _extreme(rows: Numbers, shape: Numbers, *, least: bool) -> Numbers:
    values = rows @ shape
    extreme: Numbers = rows[int(values.argmin() if least else values.argmax())]
    return extreme


@cache
def _candidate_rows() -> Numbers:
    """Of the candidates, in their order, over the outline."""
    left, right, sill, head = knot_rows()
    lines = [side[end] - side[0] for side in (left, right, sill, head) for end in (2, 1)]
    return np.array([*lines, *(right - left), *(head - sill)])


def _deviations(adjustment: Adjustment, request: FitRequest) -> Numbers:
    """Of the candidates, in their order, mm: a line takes two readings."""
    measurement = request.measurement
    tape = standard_uncertainty(measurement.instrument, max(size_of(adjustment.shape.tolist())))
    level = USUAL_LEVEL_DEVIATION
    if measurement.level_instrument:
        level = standard_uncertainty(measurement.level_instrument, 0.0)
    sizes = len(CANDIDATES) - LINE_COUNT
    return np.array([level * sqrt(2)] * LINE_COUNT + [tape] * sizes)
