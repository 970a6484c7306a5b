"""How well a difference of two readings is known, when one instrument took both."""

from math import hypot, sqrt

from surveys.arithmetic.uncertainty import (
    READING_STEP_MM,
    Instrument,
    rectangular,
    standard_uncertainty,
    tape_permissible_error,
)

SHORTEST_STRETCH_MM = 1.0


def difference_uncertainty(instrument: Instrument, difference: float) -> float:
    """Standard uncertainty, mm, of the difference (mm) of two readings of nearly equal length.

    Of a tape, what both readings share (its scale up to the shorter one, its end hook) cancels:
    what is left is the permissible error of the stretch between the two marks, and two reading
    steps. Other instruments say nothing of what is shared, so their readings count as independent.
    Sources: JCGM 100:2008 5.2.2 (correlated quantities); Directive 2014/32/EU Annex X (tapes).
    """
    if instrument.kind == "tape" and instrument.accuracy_class:
        stretch = max(abs(difference), SHORTEST_STRETCH_MM)
        error = tape_permissible_error(stretch, instrument.accuracy_class, from_end_hook=False)
        return hypot(rectangular(error), sqrt(2) * rectangular(READING_STEP_MM / 2))
    return sqrt(2) * standard_uncertainty(instrument, 0.0)


def sum_uncertainty(instrument: Instrument, length: float) -> float:
    """Standard uncertainty, mm, of the sum of two readings of about `length` mm.

    Of a tape, what both share adds up instead of cancelling. Sources as of the difference.
    """
    if instrument.kind == "tape" and instrument.accuracy_class:
        error = tape_permissible_error(length, instrument.accuracy_class, instrument.from_end_hook)
        return hypot(2 * rectangular(error), sqrt(2) * rectangular(READING_STEP_MM / 2))
    return sqrt(2) * standard_uncertainty(instrument, length)
