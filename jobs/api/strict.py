"""The strict serializer: a field it does not know is an error, not a shrug."""

from typing import Any

from rest_framework import serializers


class StrictSerializer(serializers.Serializer):
    """Names every unknown field and what is allowed, besides DRF's own checks."""

    def to_internal_value(self, data: Any) -> Any:
        if isinstance(data, dict):
            unknown = sorted(set(map(str, data)) - set(self._writable_names))
            if unknown:
                allowed = ", ".join(self._writable_names)
                raise serializers.ValidationError(
                    {name: [f"unknown field; allowed are: {allowed}"] for name in unknown}
                )
        return super().to_internal_value(data)

    @property
    def _writable_names(self) -> list[str]:
        return [name for name, field in self.fields.items() if not field.read_only]
