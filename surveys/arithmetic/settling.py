"""Which further reading would tell most about the size that is in doubt."""

import numpy as np

from surveys.arithmetic.adjustment import Adjustment
from surveys.arithmetic.fit_request import FitRequest
from surveys.arithmetic.outline import size_of
from surveys.arithmetic.rows import Numbers, jamb_rows, level_rows
from surveys.arithmetic.uncertainty import standard_uncertainty

# A level or plumb reading with the usual laser where none was named: 0.5 mm and the reading step.
USUAL_LEVEL_DEVIATION = 0.58


def settling_reading(adjustment: Adjustment, request: FitRequest) -> str:
    """Name of the reading after which the doubtful direction's uncertainty would be least.

    A new reading with row a and deviation s takes (g C a)^2 / (s^2 + a C a) off the variance of a
    size with gradient g, where C is the covariance of the outline.
    """
    gradient = _doubtful_gradient(adjustment, request)
    covariance = adjustment.covariance

    def gain(row: Numbers, deviation: float) -> float:
        told = float(gradient @ covariance @ row) ** 2
        return told / (deviation**2 + float(row @ covariance @ row))

    candidates = _candidates(adjustment, request)
    return max(candidates, key=lambda name: gain(*candidates[name]))


def _doubtful_gradient(adjustment: Adjustment, request: FitRequest) -> Numbers:
    """Of the clear width or height, whichever has less to spare for its uncertainty."""
    t = (0.0, 0.5, 1.0)
    left, right = jamb_rows(t, right=False), jamb_rows(t, right=True)
    sill, head = level_rows(t, head=False), level_rows(t, head=True)
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


def _candidates(adjustment: Adjustment, request: FitRequest) -> dict[str, tuple[Numbers, float]]:
    """Readings that could still be taken: a row over the outline and a deviation in mm each."""
    measurement = request.measurement
    tape = standard_uncertainty(measurement.instrument, max(size_of(adjustment.shape.tolist())))
    level = USUAL_LEVEL_DEVIATION
    if measurement.level_instrument:
        level = standard_uncertainty(measurement.level_instrument, 0.0)
    t = (0.0, 0.5, 1.0)
    left, right = jamb_rows(t, right=False), jamb_rows(t, right=True)
    sill, head = level_rows(t, head=False), level_rows(t, head=True)
    pair = level * np.sqrt(2)
    rows = {
        "plumb of the left jamb, top against foot": (left[2] - left[0], pair),
        "plumb of the left jamb, middle against foot": (left[1] - left[0], pair),
        "plumb of the right jamb, top against foot": (right[2] - right[0], pair),
        "plumb of the right jamb, middle against foot": (right[1] - right[0], pair),
        "levels of the sill, right against left": (sill[2] - sill[0], pair),
        "levels of the sill, middle against left": (sill[1] - sill[0], pair),
        "levels of the head, right against left": (head[2] - head[0], pair),
        "levels of the head, middle against left": (head[1] - head[0], pair),
        "width at the foot": (right[0] - left[0], tape),
        "width in the middle": (right[1] - left[1], tape),
        "width at the top": (right[2] - left[2], tape),
        "height at the left": (head[0] - sill[0], tape),
        "height in the middle": (head[1] - sill[1], tape),
        "height at the right": (head[2] - sill[2], tape),
    }
    return {name: (row, float(deviation)) for name, (row, deviation) in rows.items()}
