"""Small pieces of a frozen record that its parts share."""

from collections.abc import Iterator
from datetime import UTC, datetime
from typing import Any

from surveys.models import Instrument


def instant(moment: datetime | None) -> str | None:
    """A moment as ISO 8601 text in UTC."""
    return moment.astimezone(UTC).isoformat() if moment else None


def instrument_facts(instrument: Instrument) -> dict[str, Any]:
    """An instrument as it is now."""
    return {
        "name": instrument.name,
        "kind": instrument.kind,
        "serial": instrument.serial,
        "accuracy_class": instrument.accuracy_class,
        "expanded_uncertainty": instrument.expanded_uncertainty,
        "coverage_factor": instrument.coverage_factor,
        "calibration_due": instrument.calibration_due.isoformat(),
    }


def frozen_instrument_facts(measured_with: dict[str, Any]) -> dict[str, Any]:
    """An instrument as it was when a survey was taken with it, as the survey froze it."""
    accuracy = measured_with["accuracy"]
    return {
        "name": measured_with["name"],
        "kind": accuracy["kind"],
        "serial": measured_with["serial"],
        "accuracy_class": accuracy.get("accuracy_class") or "",
        "expanded_uncertainty": accuracy.get("expanded_uncertainty"),
        "coverage_factor": accuracy.get("coverage_factor"),
        "calibration_due": measured_with["calibration_due"],
    }


def instruments_of(doorset: dict[str, Any]) -> Iterator[dict[str, Any]]:
    """Every instrument that a reading in the record of a doorset was taken with."""
    for survey in doorset["surveys"]:
        yield from survey["instruments"]
    for told in (*doorset["inspections"], *doorset["gaps"]):
        if told["instrument"]:
            yield told["instrument"]
