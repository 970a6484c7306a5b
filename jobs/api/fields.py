"""Fields with a unit and bounds, and others that are stricter than those of the framework."""

import math
from typing import Any

from django.utils.functional import Promise
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from rest_framework import serializers

from jobs.frozen import FrozenKind
from jobs.sentences import Sentence, sentence
from jobs.translation import translated


class QuantityField(serializers.FloatField):
    """A number with a unit and bounds. Text, true or false, NaN and infinities are refused.

    A length below its bound that would fit in metres gets a message of its own: 3.6 for a width of
    3600 mm is the commonest slip of all.
    """

    def __init__(self, unit: str | Promise, lowest: float, highest: float, **options: Any) -> None:
        self.unit, self.lowest, self.highest = unit, lowest, highest
        options.setdefault("help_text", f"{unit}, {lowest:g} to {highest:g}")
        super().__init__(min_value=lowest, max_value=highest, **options)

    def to_internal_value(self, data: Any) -> float:
        if isinstance(data, bool) or not isinstance(data, int | float) or not math.isfinite(data):
            message = sentence("not a number; give {allowed}", allowed=self.allowed)
            raise serializers.ValidationError(translated(message))
        if not self.lowest <= data <= self.highest:
            raise serializers.ValidationError(translated(self._out_of_bounds(data)))
        return float(data)

    @property
    def allowed(self) -> Sentence:
        return sentence(
            "{lowest:g} to {highest:g} {unit}",
            lowest=self.lowest,
            highest=self.highest,
            unit=self.unit,
        )

    def _out_of_bounds(self, value: float) -> Sentence:
        if self.unit == "mm" and self.lowest > 0 and 0 < value < self.lowest <= value * 1000:
            return sentence(
                "{value:g} looks like metres; lengths are in mm, {allowed}",
                value=value,
                allowed=self.allowed,
            )
        return sentence(
            "{value:g} {unit} is not possible here; give {allowed}",
            value=value,
            unit=self.unit,
            allowed=self.allowed,
        )


class IntegerQuantityField(QuantityField):
    """A quantity in whole units."""

    def to_internal_value(self, data: Any) -> int:
        value = super().to_internal_value(data)
        if value != int(value):
            message = sentence(
                "{value:g} is not a whole number; give whole {unit}", value=value, unit=self.unit
            )
            raise serializers.ValidationError(translated(message))
        return int(value)

    def to_representation(self, value: Any) -> int:  # type: ignore[override]
        return int(value)


class StrictBooleanField(serializers.BooleanField):
    """True or false and nothing else: "yes" and 1 are a guess at what is meant."""

    def to_internal_value(self, data: Any) -> bool:
        if not isinstance(data, bool):
            raise serializers.ValidationError(_("give true or false"))
        return data


class VisibleRelatedField(serializers.PrimaryKeyRelatedField):
    """A reference to a record that the signed-in person may see; others do not exist for them."""

    default_error_messages = {
        "does_not_exist": gettext_lazy("there is no such record, or you may not see it"),
        "incorrect_type": gettext_lazy("give the record's id as text"),
    }

    def __init__(self, model: Any, **options: Any) -> None:
        self.model = model
        if not options.get("read_only"):
            options["queryset"] = model.objects.all()
        super().__init__(**options)

    def get_queryset(self) -> Any:
        return self.model.objects.visible_to(self.context["request"].user)


class ClientIdField(serializers.UUIDField):
    """The identity that the client gives a new record, so that a repeat stores nothing twice."""

    def __init__(self, *, required: bool = False, **options: Any) -> None:
        super().__init__(
            required=required,
            help_text="UUID made by the client; a repeat with it is harmless.",
            **options,
        )


class FrozenRecordField(serializers.JSONField):
    """A frozen record in an answer: its newest shape, whatever format it is stored in."""

    def __init__(self, kind: FrozenKind[Any], **options: Any) -> None:
        self.kind = kind
        super().__init__(read_only=True, **options)

    def to_representation(self, value: Any) -> Any:
        return self.kind.plain(value)
