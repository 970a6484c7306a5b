"""Does an instrument fit a step: how often would perfect work be shown to be within its limits?

Lengths in mm. Perfect work reads nothing but the errors of the instrument. Where these use up the
limit, perfect work stays inconclusive however often it is read: another tool is needed, not better
work. Sources: JCGM 106:2012, 9.3 (the producer's risk); ISO 14253-1:2017 (what cannot be shown does
not conform).
"""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from math import erf, floor, prod, sqrt
from typing import Any

import numpy as np
from numpy.typing import NDArray

from installs.arithmetic.conformity import judge_conformity
from installs.arithmetic.criteria import Criterion, uncertainty_of
from surveys.arithmetic.uncertainty import (
    READING_STEP_MM,
    Instrument,
    standard_uncertainty,
    tape_permissible_error,
)

# An error is counted as far as this many standard deviations, and a gauge's in steps of this share
# of one, which is as good as without steps.
REACH, FINE_STEP = 6.0, 1 / 40
# Halvings until a length is known to 0.001 mm or better.
HALVINGS = 20
# The least and greatest expanded uncertainty, at coverage factor 2, that is looked for, mm.
FINEST, COARSEST = 0.02, 20.0


@dataclass(frozen=True, slots=True)
class _Errors:
    """Probabilities of the errors of one reading, from the least to the greatest in equal steps."""

    chances: NDArray[np.float64]
    step: float

    def within(self, band: float) -> float:
        """That one reading is off by no more than `band`, mm, either way."""
        half = len(self.chances) // 2
        steps = min(half, _whole(band / self.step))
        return float(self.chances[half - steps : half + steps + 1].sum())

    def difference(self) -> "_Errors":
        return _Errors(np.convolve(self.chances, self.chances[::-1]), self.step)

    def spread_within(self, band: float, readings: int) -> float:
        """That the greatest of several readings is no more than `band`, mm, above the least."""
        steps = min(len(self.chances), _whole(band / self.step))
        below = np.concatenate([[0.0], np.cumsum(self.chances), np.ones(steps)])
        from_each = below[steps + 1 :] - below[: len(self.chances)]
        above_each = below[steps + 1 :] - below[1 : len(self.chances) + 1]
        return float((from_each**readings - above_each**readings).sum())


def chance_of_passing(
    criteria: Mapping[str, Criterion], instrument: Instrument, confidence: float
) -> float:
    """Probability that perfect work passes every criterion of a step; 1 where nothing is read.

    Readings are independent; where two criteria share one, the chance is rather understated.
    Raises `UnusableInput` for an instrument that says too little of itself.
    """
    read = (criterion for criterion in criteria.values() if criterion.method != "count")
    return prod(_chance(criterion, instrument, confidence) for criterion in read)


def greatest_uncertainty(
    criteria: Mapping[str, Criterion], kind: Any, confidence: float, least_chance: float
) -> float | None:
    """The greatest expanded uncertainty, mm at coverage factor 2, with which a level, laser or
    gauge still fits a step; None where the finest one does not."""
    fits, does_not = FINEST, COARSEST

    def fit(expanded: float) -> bool:
        instrument = Instrument(kind, expanded_uncertainty=expanded, coverage_factor=2)
        return chance_of_passing(criteria, instrument, confidence) >= least_chance

    if not fit(fits):
        return None
    for _ in range(HALVINGS):
        middle = (fits + does_not) / 2
        fits, does_not = (middle, does_not) if fit(middle) else (fits, middle)
    return fits


@lru_cache(maxsize=4096)
def _chance(criterion: Criterion, instrument: Instrument, confidence: float) -> float:
    band = _greatest_that_passes(criterion, instrument, confidence)
    if band is None:
        return 0.0
    errors = _errors(instrument)
    if criterion.method == "spread":
        return errors.spread_within(band, len(criterion.of))
    return (errors.difference() if criterion.method == "difference" else errors).within(band)


def _greatest_that_passes(
    criterion: Criterion, instrument: Instrument, confidence: float
) -> float | None:
    """How far from perfect a number may be read and still pass, mm; None where nothing passes."""
    lower, upper = criterion.lower, criterion.upper
    perfect = 0.0 if lower is None or upper is None else (lower + upper) / 2
    u = uncertainty_of(criterion.method, perfect, instrument)

    def passes(off: float) -> bool:
        return judge_conformity(perfect + off, u, lower, upper, confidence).decision == "pass"

    if not passes(0.0):
        return None
    within, beyond = 0.0, abs((upper if upper is not None else perfect) - perfect) + 1.0
    for _ in range(HALVINGS):
        off = (within + beyond) / 2
        within, beyond = (off, beyond) if passes(off) else (within, off)
    return within


def _errors(instrument: Instrument) -> _Errors:
    """A tape laid at nearly equal lengths shares its scale between them: what differs is the error
    of the stretch between its marks, within the permissible one. All but a gauge are read to whole
    millimetres."""
    if instrument.kind == "tape" and instrument.accuracy_class:
        most = tape_permissible_error(READING_STEP_MM, instrument.accuracy_class, False)
        edges = _edges(most, READING_STEP_MM)
        return _Errors(np.diff(np.clip((edges + most) / (2 * most), 0, 1)), READING_STEP_MM)
    u = standard_uncertainty(instrument, 0.0)
    step = u * FINE_STEP
    if instrument.kind != "gauge":
        u, step = _of_itself(instrument), READING_STEP_MM
    below = [(1 + erf(edge / (u * sqrt(2)))) / 2 for edge in _edges(u * REACH, step)]
    return _Errors(np.diff(below), step)


def _of_itself(instrument: Instrument) -> float:
    """Before its reading is rounded; `standard_uncertainty` has refused one that does not say."""
    return float(instrument.expanded_uncertainty or 0.0) / float(instrument.coverage_factor or 1.0)


def _edges(reach: float, step: float) -> NDArray[np.float64]:
    """Halfway between the steps that cover `reach` either way."""
    steps = floor(reach / step) + 1
    return np.linspace(-(steps + 0.5) * step, (steps + 0.5) * step, 2 * steps + 2)


def _whole(steps: float) -> int:
    """A band that ends on a step includes it."""
    return floor(steps + 1e-6)
