"""Small pieces of a frozen record that its parts share."""

from collections.abc import Iterable, Iterator
from datetime import UTC, datetime
from typing import overload

from jobs.models import Opening
from reports.papers.frozen.doorset import FittedDoorset
from reports.papers.frozen.job import InstrumentFacts, OpeningFacts
from surveys.frozen import InstrumentThen


@overload
def instant(moment: datetime) -> str: ...
@overload
def instant(moment: datetime | None) -> str | None: ...
def instant(moment: datetime | None) -> str | None:
    """A moment as ISO 8601 text in UTC."""
    return moment.astimezone(UTC).isoformat() if moment else None


def opening_facts(opening: Opening) -> OpeningFacts:
    return OpeningFacts(opening.number, opening.name)


def instrument_facts(measured_with: InstrumentThen) -> InstrumentFacts:
    """An instrument as it was when it was read, as the reading's record froze it."""
    accuracy = measured_with.accuracy
    return InstrumentFacts(
        name=measured_with.name,
        kind=accuracy["kind"],
        serial=measured_with.serial,
        accuracy_class=accuracy.get("accuracy_class") or "",
        expanded_uncertainty=accuracy.get("expanded_uncertainty"),
        coverage_factor=accuracy.get("coverage_factor"),
        calibration_due=measured_with.calibration_due,
    )


def instruments_of(doorset: FittedDoorset) -> Iterator[InstrumentFacts]:
    """Every instrument that a reading in the record of a doorset was taken with."""
    for survey in doorset.surveys:
        yield from survey.instruments
    yield from (
        inspection.instrument for inspection in doorset.inspections if inspection.instrument
    )
    yield from (gap.instrument for gap in doorset.gaps if gap.instrument)


def each_instrument_once(instruments: Iterable[InstrumentFacts]) -> tuple[InstrumentFacts, ...]:
    """Every instrument that something on a paper was read with, once for each calibration."""
    used = {
        (instrument.serial, instrument.calibration_due): instrument for instrument in instruments
    }
    return tuple(used[key] for key in sorted(used))
