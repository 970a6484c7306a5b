"""Endpoints of the keys that devices sign with."""

from typing import Any, ClassVar

from drf_spectacular.utils import extend_schema
from rest_framework.decorators import action
from rest_framework.request import Request
from rest_framework.response import Response

from jobs.api.device_key_serializers import (
    EndKeySerializer,
    EnrolledKeyCreateSerializer,
    EnrolledKeySerializer,
)
from jobs.api.viewsets import IdempotentCreateMixin, ReadOnlyRecordViewSet
from jobs.capabilities import Capability
from jobs.idempotency import IdempotencyKey
from jobs.models import EnrolledKey, Record
from jobs.services import device_keys


class EnrolledKeyViewSet(ReadOnlyRecordViewSet, IdempotentCreateMixin):
    """Keys of devices that sign what their person records on site.

    The device makes a key for ECDSA on P-256, keeps the private one where nothing gets it out, and
    enrols the public one here. From then on it signs each operation that it queues (`jws` of
    `/api/v1/sync/`), the journal carries the signature with what the operation did, and
    `manage.py verify_journal` verifies it anew. Everybody sees and ends their own; whoever manages
    people those of all.
    """

    model = EnrolledKey
    serializer_class = EnrolledKeySerializer
    create_serializer = EnrolledKeyCreateSerializer
    required_capabilities: ClassVar = {
        **ReadOnlyRecordViewSet.required_capabilities,
        "create": Capability.READ,
        "end": Capability.READ,
    }
    changes_a_version = frozenset({"end"})
    not_in_digest = frozenset({"password"})

    def perform_create(self, idempotency_key: IdempotencyKey, body: dict[str, Any]) -> Record:
        return device_keys.enrol_key(actor=self.actor, idempotency_key=idempotency_key, **body)

    @extend_schema(request=EndKeySerializer, responses=EnrolledKeySerializer)
    @action(detail=True, methods=["post"])
    def end(self, request: Request, pk: str) -> Response:
        """Its signatures count no more from now on; what it signed before goes on counting."""
        version = self.expected_version
        key = self.get_object()
        body = self.get_validated_data(EndKeySerializer)
        ended = device_keys.end_key(actor=self.actor, key=key, expected_version=version, **body)
        return self.get_response(ended)
