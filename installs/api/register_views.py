"""Endpoints of the register of beads and of what was turned at the running gear."""

from typing import Any, ClassVar

from drf_spectacular.utils import extend_schema
from rest_framework.decorators import action
from rest_framework.request import Request
from rest_framework.response import Response

from installs.api import register_serializers as bodies
from installs.api.views import OF_AN_INSTALLATION
from installs.models import Bead, CarrierLift
from installs.services.beads import put_bead_back, take_bead_off
from installs.services.running_gear import record_lift
from jobs.api.viewsets import IdempotentCreateMixin, ReadOnlyRecordViewSet
from jobs.capabilities import Capability
from jobs.idempotency import IdempotencyKey
from jobs.models import Record


class BeadViewSet(ReadOnlyRecordViewSet, IdempotentCreateMixin):
    """Glazing beads: off with a number on each, and back where each came from."""

    model = Bead
    serializer_class = bodies.BeadSerializer
    create_serializer = bodies.BeadCreateSerializer
    required_capabilities: ClassVar = {
        **ReadOnlyRecordViewSet.required_capabilities,
        "create": Capability.RECORD_FITTING,
        "put_back": Capability.RECORD_FITTING,
    }
    filterset_fields: ClassVar = {
        **OF_AN_INSTALLATION,
        "leaf": ["exact"],
        "put_back_at": ["isnull"],
    }
    changes_a_version = frozenset({"put_back"})

    def perform_create(self, idempotency_key: IdempotencyKey, body: dict[str, Any]) -> Record:
        return take_bead_off(actor=self.actor, idempotency_key=idempotency_key, **body)

    @extend_schema(request=bodies.BeadPlaceSerializer, responses=bodies.BeadSerializer)
    @action(detail=True, methods=["post"], url_path="put-back")
    def put_back(self, request: Request, pk: str) -> Response:
        """Say where it was put back; in another sash or out of turn it is refused."""
        version = self.expected_version
        bead = self.get_object()
        body = self.get_validated_data(bodies.BeadPlaceSerializer)
        changed = put_bead_back(actor=self.actor, bead=bead, expected_version=version, **body)
        return self.get_response(changed)


class CarrierLiftViewSet(ReadOnlyRecordViewSet, IdempotentCreateMixin):
    """What was turned at the running gear between two rounds of gaps."""

    model = CarrierLift
    serializer_class = bodies.CarrierLiftSerializer
    create_serializer = bodies.CarrierLiftCreateSerializer
    required_capabilities: ClassVar = {
        **ReadOnlyRecordViewSet.required_capabilities,
        "create": Capability.RECORD_FITTING,
    }
    filterset_fields: ClassVar = {**OF_AN_INSTALLATION, "junction": ["exact"]}

    def perform_create(self, idempotency_key: IdempotencyKey, body: dict[str, Any]) -> Record:
        return record_lift(actor=self.actor, idempotency_key=idempotency_key, **body)
