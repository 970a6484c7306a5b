"""Endpoints of profile systems, doorsets and deliveries."""

from typing import Any, ClassVar

from django.db.models import QuerySet

from jobs.api import doorset_serializers as bodies
from jobs.api.viewsets import (
    IdempotentCreateMixin,
    ReadOnlyRecordViewSet,
    VersionedUpdateMixin,
)
from jobs.capabilities import Capability
from jobs.idempotency import IdempotencyKey
from jobs.models import Delivery, Doorset, ProfileSystem, Record
from jobs.services import catalogue, doorsets


class ProfileSystemViewSet(ReadOnlyRecordViewSet, IdempotentCreateMixin, VersionedUpdateMixin):
    """Profile systems: what the sizes and masses of leaves follow from, and what may be ordered."""

    model = ProfileSystem
    serializer_class = bodies.ProfileSystemSerializer
    create_serializer = bodies.ProfileSystemCreateSerializer
    update_serializer = bodies.ProfileSystemUpdateSerializer
    required_capabilities: ClassVar = {
        **ReadOnlyRecordViewSet.required_capabilities,
        "create": Capability.MANAGE_CATALOGUE,
        "partial_update": Capability.MANAGE_CATALOGUE,
    }

    def perform_create(self, idempotency_key: IdempotencyKey, body: dict[str, Any]) -> Record:
        return catalogue.add_profile_system(
            actor=self.actor, idempotency_key=idempotency_key, **body
        )

    def perform_update(self, record: Any, version: int, body: dict[str, Any]) -> Record:
        return catalogue.change_profile_system(
            actor=self.actor,
            profile_system=record,
            expected_version=version,
            **body,
        )


class DoorsetViewSet(ReadOnlyRecordViewSet, IdempotentCreateMixin, VersionedUpdateMixin):
    """Doorsets of an opening: a draft may be changed, an ordered one is followed by a revision."""

    model = Doorset
    serializer_class = bodies.DoorsetSerializer
    create_serializer = bodies.DoorsetCreateSerializer
    update_serializer = bodies.DoorsetOrderSerializer
    required_capabilities: ClassVar = {
        **ReadOnlyRecordViewSet.required_capabilities,
        "create": Capability.MANAGE_JOBS,
        "partial_update": Capability.MANAGE_JOBS,
    }
    filterset_fields: ClassVar = {
        "opening": ["exact"],
        "opening__job": ["exact"],
        "opening__job__reference": ["exact"],
    }

    def perform_create(self, idempotency_key: IdempotencyKey, body: dict[str, Any]) -> Record:
        return doorsets.draft_doorset(actor=self.actor, idempotency_key=idempotency_key, **body)

    def perform_update(self, record: Any, version: int, body: dict[str, Any]) -> Record:
        return doorsets.change_doorset(
            actor=self.actor, doorset=record, expected_version=version, **body
        )


class DeliveryViewSet(ReadOnlyRecordViewSet, IdempotentCreateMixin):
    """Deliveries: what arrived for an ordered doorset, measured when it came."""

    model = Delivery
    serializer_class = bodies.DeliverySerializer
    create_serializer = bodies.DeliveryCreateSerializer
    required_capabilities: ClassVar = {
        **ReadOnlyRecordViewSet.required_capabilities,
        "create": Capability.RECORD_FITTING,
    }
    filterset_fields: ClassVar = {
        "doorset": ["exact"],
        "doorset__opening__job": ["exact"],
    }

    def perform_create(self, idempotency_key: IdempotencyKey, body: dict[str, Any]) -> Record:
        return doorsets.record_delivery(actor=self.actor, idempotency_key=idempotency_key, **body)

    def get_queryset(self) -> QuerySet:
        return super().get_queryset().select_related("doorset")
