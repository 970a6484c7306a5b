"""Numbers with a unit, read by the same fields as those of the API, so that both refuse alike."""

from collections.abc import Iterator
from typing import Any, cast

from django import forms
from django.utils.functional import lazy
from rest_framework import serializers

from jobs.api.fields import QuantityField
from jobs.sentences import sentence
from jobs.translation import translated


def _allowed(lowest: float, highest: float, unit: str) -> str:
    words = sentence("{lowest:g} to {highest:g} {unit}", lowest=lowest, highest=highest, unit=unit)
    return translated(words)


# Once, as it makes a class: a page has dozens of these fields.
allowed = lazy(_allowed, str)


class QuantityFormField(forms.CharField):
    """A figure as it is typed; its unit and bounds are those of the API's field.

    Typed as text: a browser's own number field throws away what it cannot read.
    """

    def __init__(self, quantity: QuantityField, **options: Any) -> None:
        self.quantity = quantity
        # As it is written on paper; the API keeps to plain letters.
        self.unit = str(quantity.unit).replace("m2 K", "m²K").replace("m K", "mK")
        decimal = forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off"})
        options.setdefault("widget", decimal)
        options.setdefault("help_text", allowed(quantity.lowest, quantity.highest, self.unit))
        super().__init__(**options)

    def clean(self, value: Any) -> Any:
        typed = super().clean(value)
        return read_as(self.quantity, number(typed)) if typed else None

    def prepare_value(self, value: Any) -> Any:
        """As people write it: `60`, not `60.0`."""
        return repr(value).removesuffix(".0") if isinstance(value, float) else value


def read_as(field: serializers.Field, value: Any) -> Any:
    """What a field of the API reads of a value; its error becomes that of a form."""
    try:
        return field.run_validation(value)
    except serializers.ValidationError as error:
        raise forms.ValidationError(list(_flat(error.detail))) from error


def _flat(detail: Any) -> Iterator[str]:
    """Errors of lists and of nested bodies, one after the other."""
    if isinstance(detail, dict | list):
        for inner in detail.values() if isinstance(detail, dict) else detail:
            yield from _flat(inner)
    else:
        yield str(detail)


def number(typed: str) -> float | str:
    """The number that was typed, with a comma or a point; left as it is where it is none, for the
    field to refuse."""
    try:
        return float(typed.replace(",", "."))
    except ValueError:
        return typed


def quantity_field(
    body: type[serializers.Serializer], name: str, **options: Any
) -> QuantityFormField:
    """The form's field for a quantity in a body of the API."""
    return QuantityFormField(cast(QuantityField, body().fields[name]), **options)
