"""How well an instrument measures: standard uncertainties in mm."""

from dataclasses import dataclass
from math import ceil, hypot, isfinite, sqrt
from typing import Literal

from jobs.arithmetic.errors import UnusableInput
from jobs.sentences import sentence

# a, b in a + b L and c for a reading that starts at the end hook, mm; L in m, rounded up to the
# next whole metre. Published: Directive 2014/32/EU, Annex X (MI-008).
TAPE_CLASSES = {"I": (0.1, 0.1, 0.1), "II": (0.3, 0.2, 0.2), "III": (0.6, 0.4, 0.3)}
READING_STEP_MM = 1.0
InstrumentKind = Literal["tape", "laser", "level", "gauge"]
# What each kind can read (common practice, no source): a level reads no sizes, no gauge reaches
# across an opening or a frame, a tape shows no level, and no laser and no level goes into a gap.
READ_SIZES: tuple[InstrumentKind, ...] = ("tape", "laser")
READ_LEVELS: tuple[InstrumentKind, ...] = ("laser", "level")
READ_GAPS: tuple[InstrumentKind, ...] = ("tape", "gauge")


@dataclass(frozen=True, slots=True)
class Instrument:
    """A tape of a class, or a laser, level or gauge with its expanded uncertainty in mm.

    A gauge (feeler, slip or caliper) is read to its own step, which its uncertainty covers; all
    others are read to the whole millimetre.
    """

    kind: InstrumentKind
    accuracy_class: str | None = None
    from_end_hook: bool = False
    expanded_uncertainty: float | None = None
    coverage_factor: float | None = None


def tape_permissible_error(length: float, accuracy_class: str, from_end_hook: bool) -> float:
    """Greatest permissible error of a tape, mm, either way, at a length in mm."""
    a, b, c = TAPE_CLASSES[accuracy_class]
    whole_metres = ceil(round(length / 1000, 6))
    return a + b * whole_metres + (c if from_end_hook else 0.0)


def rectangular(half_width: float) -> float:
    """Standard uncertainty of a rectangular distribution (JCGM 100:2008, 4.3.7)."""
    return half_width / sqrt(3)


def standard_uncertainty(instrument: Instrument, length: float) -> float:
    """Of one reading, mm, at a length in mm.

    A tape's permissible error and the reading step are rectangular; an expanded uncertainty is
    divided by its coverage factor. Raises `UnusableInput` for an instrument that says too little.
    """
    step = rectangular(READING_STEP_MM / 2)
    if instrument.kind == "tape":
        if instrument.accuracy_class not in TAPE_CLASSES:
            raise UnusableInput(
                "/accuracy_class", sentence("a tape has accuracy class I, II or III")
            )
        error = tape_permissible_error(length, instrument.accuracy_class, instrument.from_end_hook)
        return hypot(rectangular(error), step)
    expanded = _stated(instrument, "expanded_uncertainty")
    of_itself = expanded / _stated(instrument, "coverage_factor")
    return of_itself if instrument.kind == "gauge" else hypot(of_itself, step)


def _stated(instrument: Instrument, figure: str) -> float:
    value: float | None = getattr(instrument, figure)
    if value is None or not (isfinite(value) and value > 0):
        raise UnusableInput(
            f"/{figure}", sentence("a {kind} states it: a number above 0", kind=instrument.kind)
        )
    return value
