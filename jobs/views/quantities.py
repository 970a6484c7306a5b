"""Numbers with a unit, read by the same fields as those of the API, so that both refuse alike."""

from collections.abc import Iterator
from typing import Any, cast

from django import forms
from rest_framework import serializers

from jobs.api.fields import QuantityField


class QuantityFormField(forms.CharField):
    """A figure as it is typed; its unit and bounds are those of the API's field.

    Typed as text: a browser's own number field throws away what it cannot read.
    """

    def __init__(self, quantity: QuantityField, **options: Any) -> None:
        self.quantity = quantity
        # As it is written on paper; the API keeps to plain letters.
        self.unit = quantity.unit.replace("m2 K", "m²K").replace("m K", "mK")
        decimal = forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off"})
        options.setdefault("widget", decimal)
        options.setdefault("help_text", f"{quantity.lowest:g} to {quantity.highest:g} {self.unit}")
        super().__init__(**options)

    def clean(self, value: Any) -> Any:
        typed = super().clean(value)
        return read_as(self.quantity, number(typed)) if typed else None

    def prepare_value(self, value: Any) -> Any:
        """As people write it: `60`, not `60.0`."""
        return repr(value).removesuffix(".0") if isinstance(value, float) else value


def read_as(field: serializers.Field, value: Any) -> Any:
    """What a field of the API makes of a value; its complaint becomes that of a form."""
    try:
        return field.run_validation(value)
    except serializers.ValidationError as complaint:
        raise forms.ValidationError(list(_flat(complaint.detail))) from complaint


def _flat(detail: Any) -> Iterator[str]:
    """Complaints of lists and of nested bodies, one after the other."""
    if isinstance(detail, dict | list):
        for inner in detail.values() if isinstance(detail, dict) else detail:
            yield from _flat(inner)
    else:
        yield str(detail)


def number(typed: str) -> float | str:
    """The number that was typed; left as it is where it is none, for the field to refuse."""
    try:
        return float(typed)
    except ValueError:
        return typed


def quantity_field(
    body: type[serializers.Serializer], name: str, **options: Any
) -> QuantityFormField:
    """The form's field for a quantity in a body of the API."""
    return QuantityFormField(cast(QuantityField, body().fields[name]), **options)
