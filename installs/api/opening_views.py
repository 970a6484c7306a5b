"""Endpoints that leave an opening out of its job, and take it up again."""

from typing import ClassVar

from drf_spectacular.utils import extend_schema
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from installs.services.leaving_out import leave_out, take_up_again
from jobs.api.serializers import OpeningSerializer
from jobs.api.strict import StrictSerializer
from jobs.api.viewsets import RecordViewSet
from jobs.capabilities import Capability
from jobs.models import Opening


class LeavingOutSerializer(StrictSerializer):
    reason = serializers.CharField(max_length=300)


class LeavingOutViewSet(RecordViewSet):
    """Openings that take no doorset of their job after all."""

    model = Opening
    serializer_class = OpeningSerializer
    required_capabilities: ClassVar = {
        "leave_out": Capability.MANAGE_JOBS,
        "take_up": Capability.MANAGE_JOBS,
    }
    changes_a_version = frozenset({"leave_out", "take_up"})

    @extend_schema(request=LeavingOutSerializer, responses=OpeningSerializer)
    def leave_out(self, request: Request, pk: str) -> Response:
        """Leave it out: its records stay, and no gate waits for it. Refused (409) once something of
        its fitting is on record."""
        version = self.expected_version
        opening = leave_out(
            actor=self.actor,
            opening=self.get_object(),
            expected_version=version,
            reason=self.get_validated_data(LeavingOutSerializer)["reason"],
        )
        return self.get_response(opening)

    @extend_schema(request=None, responses=OpeningSerializer)
    def take_up(self, request: Request, pk: str) -> Response:
        """Take one up again that was left out."""
        version = self.expected_version
        opening = take_up_again(
            actor=self.actor, opening=self.get_object(), expected_version=version
        )
        return self.get_response(opening)
