"""Small pieces of a frozen record that its parts share."""

from collections.abc import Iterable, Iterator
from datetime import UTC, datetime
from typing import Any

from surveys.frozen import InstrumentThen


def instant(moment: datetime | None) -> str | None:
    """A moment as ISO 8601 text in UTC."""
    return moment.astimezone(UTC).isoformat() if moment else None


def frozen_instrument_facts(measured_with: InstrumentThen) -> dict[str, Any]:
    """An instrument as it was when it was read, as the reading's record froze it."""
    accuracy = measured_with.accuracy
    return {
        "name": measured_with.name,
        "kind": accuracy["kind"],
        "serial": measured_with.serial,
        "accuracy_class": accuracy.get("accuracy_class") or "",
        "expanded_uncertainty": accuracy.get("expanded_uncertainty"),
        "coverage_factor": accuracy.get("coverage_factor"),
        "calibration_due": measured_with.calibration_due,
    }


def instruments_of(doorset: dict[str, Any]) -> Iterator[dict[str, Any]]:
    """Every instrument that a reading in the record of a doorset was taken with."""
    for survey in doorset["surveys"]:
        yield from survey["instruments"]
    for told in (*doorset["inspections"], *doorset["gaps"]):
        if told["instrument"]:
            yield told["instrument"]


def each_instrument_once(instruments: Iterable[dict[str, Any]]) -> list[dict[str, Any]]:
    """Every instrument that something on a paper was read with, once for each calibration."""
    used = {(one["serial"], one["calibration_due"]): one for one in instruments}
    return [used[key] for key in sorted(used)]
