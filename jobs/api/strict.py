"""A serializer that refuses unknown fields instead of ignoring them."""

from typing import Any

from django.utils.translation import gettext as _
from rest_framework import serializers


class StrictSerializer(serializers.Serializer):
    """Names every unknown field and what is allowed, besides DRF's own checks."""

    def to_internal_value(self, data: Any) -> Any:
        if isinstance(data, dict):
            unknown = sorted(set(map(str, data)) - set(self._writable_names))
            if unknown:
                message = _("unknown field; allowed are: {names}").format(
                    names=", ".join(self._writable_names)
                )
                raise serializers.ValidationError({name: [message] for name in unknown})
        return super().to_internal_value(data)

    @property
    def _writable_names(self) -> list[str]:
        return [name for name, field in self.fields.items() if not field.read_only]
