"""What was recorded on site and set aside, since it could not be taken as it was."""

from typing import ClassVar

from rest_framework import serializers

from installs.models import SetAside
from jobs.api.serializers import RECORD_FIELDS
from jobs.api.viewsets import ReadOnlyRecordViewSet


class SetAsideSerializer(serializers.ModelSerializer):
    made_at = serializers.DateTimeField(source="recorded_at", read_only=True)

    class Meta:
        model = SetAside
        fields = (*RECORD_FIELDS, "made_at", "job", "person", "kind", "record", "body", "reason")


class SetAsideViewSet(ReadOnlyRecordViewSet):
    """Readings and records of site that were refused and set aside, each with the reason."""

    model = SetAside
    serializer_class = SetAsideSerializer
    filterset_fields: ClassVar = {"job": ["exact"], "job__reference": ["exact"], "kind": ["exact"]}
