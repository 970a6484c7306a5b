"""The fields that operations are filled in with; units and bounds are those of the endpoint."""

from collections.abc import Iterable
from typing import Any

from django import forms
from rest_framework import serializers

from installs.views.operation_form import sent_as
from jobs.api.fields import QuantityField
from jobs.views.quantities import QuantityFormField, quantity_field


def figure(body: type[serializers.Serializer], name: str, **options: Any) -> forms.Field:
    """For a number of a body."""
    return sent_as(quantity_field(body, name, **options), "number")


def whole(body: type[serializers.Serializer], name: str, **options: Any) -> forms.Field:
    return sent_as(quantity_field(body, name, **options), "integer")


def reading(label: str, unit: str, lowest: float, highest: float, **options: Any) -> forms.Field:
    """For a number whose bounds are those of a criterion."""
    quantity = QuantityField(unit, lowest, highest)
    return sent_as(QuantityFormField(quantity, label=label, **options), "number")


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
