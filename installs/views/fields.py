"""Form fields made from the fields of a body: kind, unit, limits and what may be left out are the
serializer's; a page gives the label and, where it knows better, the choices."""

from collections.abc import Iterable
from functools import singledispatch
from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from rest_framework import serializers

from jobs.api.fields import QuantityField
from jobs.views.quantities import QuantityFormField

Choices = Iterable[tuple[str, str]]


@singledispatch
def form_field(field: serializers.Field, **options: Any) -> forms.Field:
    """The form's field for `field`; `options` are those of the form's field, and `choices`."""
    raise TypeError(f"no form field is known for {type(field).__name__}")


@form_field.register
def _quantity(
    field: QuantityField, *, choices: Choices | None = None, **options: Any
) -> forms.Field:
    if choices is None:
        return QuantityFormField(field, **options)
    listed = [("", _("choose")), *choices]
    return forms.TypedChoiceField(choices=listed, coerce=float, empty_value=None, **options)


@form_field.register
def _text(
    field: serializers.CharField,
    *,
    rows: int = 0,
    choices: Choices | None = None,
    **options: Any,
) -> forms.Field:
    if choices is not None:
        return forms.ChoiceField(choices=[("", _("choose")), *choices], **options)
    if rows:
        options["widget"] = forms.Textarea(attrs={"rows": rows})
    return forms.CharField(max_length=field.max_length, **options)


@form_field.register(serializers.ChoiceField)
@form_field.register(serializers.PrimaryKeyRelatedField)
def _choice(field: Any, *, choices: Choices | None = None, **options: Any) -> forms.Field:
    """A list to choose from that begins with nothing chosen."""
    listed = field.choices.items() if choices is None else choices
    return forms.ChoiceField(choices=[("", _("choose")), *listed], **options)


@form_field.register
def _boolean(
    field: serializers.BooleanField, *, yes: str = "", no: str = "", **options: Any
) -> forms.Field:
    """A box: ticked is true, empty is false. With `yes` and `no` two labels to choose one of, where
    neither is the default."""
    if not yes:
        return forms.BooleanField(**options | {"required": False})
    return forms.TypedChoiceField(
        choices=[("true", yes), ("false", no)],
        coerce=lambda chosen: chosen == "true",
        empty_value=None,
        widget=forms.RadioSelect,
        error_messages={"required": _("choose one: {yes}, or {no}").format(yes=yes, no=no)},
        **options | {"required": True},
    )


@form_field.register
def _date(field: serializers.DateField, **options: Any) -> forms.Field:
    return forms.DateField(
        widget=forms.DateInput(attrs={"type": "date"}),
        error_messages={"invalid": gettext_lazy("give a day, such as 2026-03-02")},
        **options,
    )


@form_field.register
def _json(field: serializers.ListField, **options: Any) -> forms.Field:
    """What a script of the page fills in."""
    return forms.JSONField(**options)
