"""What decides a step of the fitting plan, and the judgement of what was read against it."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from installs.arithmetic.conformity import Decision, judge_conformity
from installs.arithmetic.differences import difference_uncertainty
from jobs.arithmetic.errors import UnusableInput
from jobs.sentences import Sentence, sentence
from surveys.arithmetic.uncertainty import Instrument, standard_uncertainty

Method = Literal["direct", "difference", "spread", "count"]


@dataclass(frozen=True, slots=True)
class Criterion:
    """Limits of one number, and how it follows from what is read at the places `of`.

    `direct`: the reading itself; `difference`: the first reading less the second; `spread`: the
    greatest reading less the least; `count`: a number of things, known exactly. A reading below
    `lowest` or above `highest` cannot be meant.
    """

    lower: float | None
    upper: float | None
    unit: str
    source: str
    method: Method
    of: tuple[str, ...]
    lowest: float
    highest: float


@dataclass(frozen=True, slots=True)
class PlacedValue:
    """What was read at a place, in the unit of the place's criterion."""

    place: str
    value: float


@dataclass(frozen=True, slots=True)
class Judged:
    """One number of a step against its limits, with the readings it was worked out from."""

    place: str
    value: float
    measured: dict[str, float]
    unit: str
    lower: float | None
    upper: float | None
    standard_uncertainty: float
    probability_conforms: float
    decision: Decision


@dataclass(frozen=True, slots=True)
class UsableInstrument:
    """A kind that can read a step, and how good one must be: its greatest expanded uncertainty,
    mm at coverage factor 2; None for a tape, which is as good as its class."""

    kind: str
    greatest_uncertainty: float | None


def places_to_read(criteria: Mapping[str, Criterion]) -> dict[str, Criterion]:
    """Every place that an instrument is held to, with the criterion that it serves."""
    return {
        place: criterion
        for criterion in criteria.values()
        if criterion.method != "count"
        for place in criterion.of
    }


def readings_by_place(
    criteria: Mapping[str, Criterion], readings: Sequence[PlacedValue]
) -> dict[str, float]:
    """The readings of a step by place. Raises `UnusableInput` at `/readings` for a place that the
    step does not have, that is read twice or missing, and for a value that cannot be meant."""
    wanted = places_to_read(criteria)
    values: dict[str, float] = {}
    for index, reading in enumerate(readings):
        pointer = f"/readings/{index}"
        if reading.place not in wanted:
            raise UnusableInput(f"{pointer}/place", _no_such_place(reading.place, wanted))
        if reading.place in values:
            raise UnusableInput(
                f"{pointer}/place", sentence("{place} is given twice", place=reading.place)
            )
        _check_possible(f"{pointer}/value", reading.value, wanted[reading.place])
        values[reading.place] = reading.value
    if missing := [place for place in wanted if place not in values]:
        raise UnusableInput(
            "/readings", sentence("still to be read: {places}", places=", ".join(missing))
        )
    return values


def judge_step(
    criteria: Mapping[str, Criterion],
    measured: Mapping[str, float],
    instrument: Instrument | None,
    confidence: float,
) -> tuple[Judged, ...]:
    """Judge everything that the criteria name; `measured` holds a number for each of their places.

    `instrument` may only be None where all criteria are counts.
    """
    return tuple(
        _judge(name, criterion, measured, instrument, confidence)
        for name, criterion in criteria.items()
    )


def overall(decisions: Iterator[Decision]) -> Decision:
    """The worst of several decisions: one failure fails, one doubt leaves doubt."""
    made = set(decisions)
    if "fail" in made:
        return "fail"
    return "inconclusive" if "inconclusive" in made else "pass"


def _judge(
    name: str,
    criterion: Criterion,
    measured: Mapping[str, float],
    instrument: Instrument | None,
    confidence: float,
) -> Judged:
    read = {place: measured[place] for place in criterion.of}
    value = _value(criterion.method, list(read.values()))
    u = 0.0 if instrument is None else uncertainty_of(criterion.method, value, instrument)
    verdict = judge_conformity(value, u, criterion.lower, criterion.upper, confidence)
    return Judged(
        place=name,
        value=value,
        measured=read,
        unit=criterion.unit,
        lower=criterion.lower,
        upper=criterion.upper,
        standard_uncertainty=u,
        probability_conforms=verdict.probability_conforms,
        decision=verdict.decision,
    )


def _value(method: Method, read: list[float]) -> float:
    if method == "difference":
        return read[0] - read[1]
    if method == "spread":
        return max(read) - min(read)
    return read[0]


def uncertainty_of(method: Method, value: float, instrument: Instrument) -> float:
    """Of a spread, that of the difference of its two extremes: with more than two readings chance
    alone spreads them, so a spread is judged on the safe side."""
    if method == "count":
        return 0.0
    if method == "direct":
        return standard_uncertainty(instrument, abs(value))
    return difference_uncertainty(instrument, value)


def _no_such_place(place: str, wanted: Mapping[str, Criterion]) -> Sentence:
    if not wanted:
        return sentence("this step takes no readings")
    return sentence(
        "this step has no place {place}; it has: {places}", place=place, places=", ".join(wanted)
    )


def _check_possible(pointer: str, value: float, criterion: Criterion) -> None:
    if criterion.lowest <= value <= criterion.highest:
        return
    allowed = sentence(
        "give {lowest:g} to {highest:g} {unit}",
        lowest=criterion.lowest,
        highest=criterion.highest,
        unit=criterion.unit,
    )
    if 0 < value < criterion.lowest <= value * 1000:
        detail = sentence(
            "{value:g} looks like metres; lengths are in mm, {allowed}",
            value=value,
            allowed=allowed,
        )
    else:
        detail = sentence(
            "{value:g} {unit} is not possible here; {allowed}",
            value=value,
            unit=criterion.unit,
            allowed=allowed,
        )
    raise UnusableInput(pointer, detail)
