"""Small pieces of a frozen record that its parts share."""

from collections.abc import Iterator
from datetime import UTC, datetime
from typing import Any

from surveys.models import Instrument


def instant(moment: datetime | None) -> str | None:
    """A moment as ISO 8601 text in UTC."""
    return moment.astimezone(UTC).isoformat() if moment else None


def instrument_facts(instrument: Instrument) -> dict[str, Any]:
    return {
        "name": instrument.name,
        "kind": instrument.kind,
        "serial": instrument.serial,
        "accuracy_class": instrument.accuracy_class,
        "expanded_uncertainty": instrument.expanded_uncertainty,
        "coverage_factor": instrument.coverage_factor,
        "calibration_due": instrument.calibration_due.isoformat(),
    }


def instrument_reference(instrument: Instrument | None) -> dict[str, str] | None:
    """Enough to find the instrument in the paper's own list of instruments."""
    return {"name": instrument.name, "serial": instrument.serial} if instrument else None


def instruments_of(doorset: dict[str, Any]) -> Iterator[str]:
    """Serials of every instrument that the record of a doorset refers to."""
    for survey in doorset["surveys"]:
        yield from (reference["serial"] for reference in survey["instruments"])
    for told in (*doorset["inspections"], *doorset["gaps"]):
        if told["instrument"]:
            yield told["instrument"]["serial"]
