"""Fields that say what they measure, and refuse what cannot be meant."""

import math
from typing import Any

from rest_framework import serializers

from jobs.frozen import FrozenKind


class QuantityField(serializers.FloatField):
    """A number with a unit and bounds. Text, true or false, NaN and infinities are refused.

    A length below its bound that would fit in metres is answered as such: 3.6 for a width of
    3600 mm is the commonest slip of all.
    """

    def __init__(self, unit: str, lowest: float, highest: float, **options: Any) -> None:
        self.unit, self.lowest, self.highest = unit, lowest, highest
        options.setdefault("help_text", f"{unit}, {lowest:g} to {highest:g}")
        super().__init__(min_value=lowest, max_value=highest, **options)

    def to_internal_value(self, data: Any) -> float:
        if isinstance(data, bool) or not isinstance(data, int | float) or not math.isfinite(data):
            raise serializers.ValidationError(f"not a number; give {self._allowed}")
        if not self.lowest <= data <= self.highest:
            raise serializers.ValidationError(self._out_of_bounds(data))
        return float(data)

    @property
    def _allowed(self) -> str:
        return f"{self.lowest:g} to {self.highest:g} {self.unit}"

    def _out_of_bounds(self, value: float) -> str:
        if self.unit == "mm" and self.lowest > 0 and 0 < value < self.lowest <= value * 1000:
            return f"{value:g} looks like metres; lengths are in mm, {self._allowed}"
        return f"{value:g} {self.unit} is not possible here; give {self._allowed}"


class IntegerQuantityField(QuantityField):
    """A quantity in whole units."""

    def to_internal_value(self, data: Any) -> int:
        value = super().to_internal_value(data)
        if value != int(value):
            raise serializers.ValidationError(f"{value:g} is not whole; give whole {self.unit}")
        return int(value)

    def to_representation(self, value: Any) -> int:  # type: ignore[override]
        return int(value)


class StrictBooleanField(serializers.BooleanField):
    """True or false and nothing else: "yes" and 1 are somebody's guess at what is meant."""

    def to_internal_value(self, data: Any) -> bool:
        if not isinstance(data, bool):
            raise serializers.ValidationError("give true or false")
        return data


class VisibleRelatedField(serializers.PrimaryKeyRelatedField):
    """A reference to a record that the signed-in person may see; others do not exist for them."""

    def __init__(self, model: Any, **options: Any) -> None:
        self.model = model
        if not options.get("read_only"):
            options["queryset"] = model.objects.all()
        super().__init__(**options)

    def get_queryset(self) -> Any:
        return self.model.objects.visible_to(self.context["request"].user)

    default_error_messages = {
        "does_not_exist": "there is no such record, or it is not yours to see",
        "incorrect_type": "give the record's id as text",
    }


class ClientIdField(serializers.UUIDField):
    """The identity that the client gives a new record, so that a repeat stores nothing twice."""

    def __init__(self, **options: Any) -> None:
        options.setdefault("required", False)
        options.setdefault("help_text", "UUID made by the client; a repeat with it is harmless.")
        super().__init__(**options)


class FrozenRecordField(serializers.JSONField):
    """A frozen record in an answer: its newest shape, whatever format it is stored in."""

    def __init__(self, kind: FrozenKind[Any], **options: Any) -> None:
        self.kind = kind
        super().__init__(read_only=True, **options)

    def to_representation(self, value: Any) -> Any:
        return self.kind.plain(value)
