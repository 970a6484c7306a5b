"""The fields that operations are filled in with; units and bounds are those of the endpoint."""

from collections.abc import Iterable
from typing import Any

from django import forms
from rest_framework import serializers

from installs.pages.operation_form import sent_as
from jobs.api.fields import Quantity
from jobs.models import Person
from jobs.pages.quantities import QuantityField, quantity_field
from surveys.models import Instrument

ASK_THE_OFFICE = "Only instruments in calibration are here; the office keeps the list."


def figure(body: type[serializers.Serializer], name: str, **options: Any) -> forms.Field:
    """For a number of a body."""
    return sent_as(quantity_field(body, name, **options), "number")


def whole(body: type[serializers.Serializer], name: str, **options: Any) -> forms.Field:
    return sent_as(quantity_field(body, name, **options), "integer")


def reading(label: str, unit: str, lowest: float, highest: float, **options: Any) -> forms.Field:
    """For a number whose bounds are those of a criterion."""
    quantity = Quantity(unit, lowest, highest)
    return sent_as(QuantityField(quantity, label=label, **options), "number")


def tick(label: str, **options: Any) -> forms.Field:
    """Ticked is true, empty is false."""
    return sent_as(forms.BooleanField(label=label, required=False, **options), "boolean")


def either(label: str, *, yes: str, no: str, **options: Any) -> forms.Field:
    """Two words to choose one of: neither is taken for granted."""
    field = forms.TypedChoiceField(
        label=label,
        choices=[("true", yes), ("false", no)],
        coerce=lambda chosen: chosen == "true",
        empty_value=None,
        widget=forms.RadioSelect,
        error_messages={"required": f"choose one: {yes}, or {no}"},
        **options,
    )
    return sent_as(field, "boolean")


def words(label: str, longest: int, *, rows: int = 2, **options: Any) -> forms.CharField:
    area = forms.Textarea(attrs={"rows": rows})
    return forms.CharField(label=label, max_length=longest, widget=area, **options)


def chosen(label: str, choices: Iterable[tuple[str, str]], **options: Any) -> forms.ChoiceField:
    """A list to choose from that begins with nothing chosen."""
    return forms.ChoiceField(label=label, choices=[("", "choose"), *choices], **options)


def instrument(instruments: Iterable[Instrument]) -> forms.ChoiceField:
    named = [(str(one.pk), f"{one}, {_how_good(one)}") for one in instruments]
    return chosen("Read with", named, help_text=ASK_THE_OFFICE)


def last_instrument(person: Person, instruments: Iterable[Instrument], used: Any) -> str:
    """The one that the person read with before, as long as it is among these; `used` are their
    records, newest first, that name an instrument."""
    newest = used.filter(instrument__isnull=False).values_list("instrument_id", flat=True).first()
    return str(newest) if newest in {one.pk for one in instruments} else ""


def _how_good(instrument: Instrument) -> str:
    if instrument.kind == Instrument.Kind.TAPE:
        return f"tape, class {instrument.accuracy_class}"
    return f"{instrument.kind}, ± {instrument.expanded_uncertainty:g} mm"
