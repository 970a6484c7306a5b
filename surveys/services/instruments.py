"""Instruments of the firm."""

from collections.abc import Mapping
from datetime import date
from typing import Any, cast

from django.db import transaction
from django.utils.translation import gettext as _

from jobs.errors import InvalidField
from jobs.figures import figure
from jobs.idempotency import IdempotencyKey
from jobs.journal_types import JournalType
from jobs.models import Person
from jobs.services.records import refuse_taken, store_change, store_new
from surveys.frozen import Accuracy, InstrumentThen
from surveys.models import Instrument


@transaction.atomic
def add_instrument(
    *, actor: Person, idempotency_key: IdempotencyKey, serial: str, **values: Any
) -> Instrument:
    """Store an instrument; `values` are its columns. Raises `InvalidField` for a known serial."""
    refuse_taken(Instrument, "serial", serial)
    instrument = Instrument(**idempotency_key.columns, serial=serial, **values)
    return store_new(instrument, actor=actor, entry_type=JournalType.INSTRUMENT_ADDED)


@transaction.atomic
def change_instrument(
    *, actor: Person, instrument: Instrument, expected_version: int, **changes: Any
) -> Instrument:
    """Rename an instrument or enter a new calibration.

    Surveys already taken keep what was true of it when they were. Raises `InvalidField` where a
    tape, which is good by its class, is given an uncertainty.
    """
    for name in ("expanded_uncertainty", "coverage_factor"):
        if name in changes and instrument.kind == Instrument.Kind.TAPE:
            raise InvalidField(f"/{name}", _("a tape is as good as its accuracy class says"))
    return store_change(
        instrument,
        changes,
        expected_version=expected_version,
        actor=actor,
        entry_type=JournalType.INSTRUMENT_CHANGED,
    )


def require_reach(instrument: Instrument, readings: Mapping[str, float]) -> None:
    """Raises `InvalidField` for a reading, mm by its pointer, beyond what the instrument can
    read."""
    greatest = instrument.greatest_reading
    for pointer, value in readings.items():
        if greatest is not None and abs(value) > greatest:
            text = _("{instrument} reads {greatest} mm at most")
            raise InvalidField(
                pointer, text.format(instrument=instrument, greatest=figure(greatest))
            )


def facts_on(instrument: Instrument, day: date) -> InstrumentThen:
    """How good an instrument was on a day; a later calibration changes the record, not this."""
    return InstrumentThen(
        id=str(instrument.pk),
        name=instrument.name,
        serial=instrument.serial,
        calibration_due=instrument.calibration_due.isoformat(),
        in_calibration=day <= instrument.calibration_due,
        accuracy=_accuracy(instrument),
    )


def _accuracy(instrument: Instrument) -> Accuracy:
    """As `opening-fit` takes it: a tape by its class, the others by their uncertainty, mm."""
    if instrument.kind == Instrument.Kind.TAPE:
        names = ("kind", "accuracy_class", "from_end_hook")
    else:
        names = ("kind", "expanded_uncertainty", "coverage_factor")
    return cast(Accuracy, {name: getattr(instrument, name) for name in names})
