"""Endpoints of what is left to settle: defects, concessions and the handover."""

from typing import Any, ClassVar

from drf_spectacular.utils import extend_schema
from rest_framework.decorators import action
from rest_framework.request import Request
from rest_framework.response import Response

from installs.api import closing_serializers as bodies
from installs.api.views import OF_AN_INSTALLATION
from installs.models import Concession, Defect, Handover
from installs.services import defects
from installs.services.concessions import concede
from installs.services.handing_over import hand_over
from installs.tables import DEFECTS
from jobs.api.tables import ExportMixin
from jobs.api.viewsets import IdempotentCreateMixin, ReadOnlyRecordViewSet
from jobs.capabilities import Capability
from jobs.idempotency import IdempotencyKey
from jobs.models import Record


class DefectViewSet(ExportMixin, IdempotentCreateMixin):
    """Defects: found, put right, looked at again. Failed inspections open theirs by themselves."""

    model = Defect
    table = DEFECTS
    serializer_class = bodies.DefectSerializer
    create_serializer = bodies.DefectCreateSerializer
    required_capabilities: ClassVar = {
        **ReadOnlyRecordViewSet.required_capabilities,
        "create": Capability.RECORD_FITTING,
        "put_right": Capability.RECORD_FITTING,
        "reinspect": Capability.RECORD_FITTING,
    }
    filterset_fields: ClassVar = {
        **OF_AN_INSTALLATION,
        "severity": ["exact"],
        "closed_at": ["isnull"],
    }
    changes_a_version = frozenset({"put_right", "reinspect"})

    def perform_create(self, idempotency_key: IdempotencyKey, body: dict[str, Any]) -> Record:
        return defects.record_defect(actor=self.actor, idempotency_key=idempotency_key, **body)

    @extend_schema(request=bodies.PutDefectRightSerializer, responses=bodies.DefectSerializer)
    @action(detail=True, methods=["post"], url_path="put-right")
    def put_right(self, request: Request, pk: str) -> Response:
        """Say how the defect was put right; it stays open until it was looked at again."""
        version = self.expected_version
        defect = self.get_object()
        body = self.get_validated_data(bodies.PutDefectRightSerializer)
        changed = defects.put_right(
            actor=self.actor, defect=defect, expected_version=version, **body
        )
        return self.get_response(changed)

    @extend_schema(request=bodies.ReinspectionSerializer, responses=bodies.DefectSerializer)
    @action(detail=True, methods=["post"])
    def reinspect(self, request: Request, pk: str) -> Response:
        """Look at it again: accept and close it, or send it back with a note."""
        version = self.expected_version
        defect = self.get_object()
        body = self.get_validated_data(bodies.ReinspectionSerializer)
        changed = defects.reinspect(
            actor=self.actor, defect=defect, expected_version=version, **body
        )
        return self.get_response(changed)


class ConcessionViewSet(ReadOnlyRecordViewSet, IdempotentCreateMixin):
    """Concessions: what the office accepts as it is, where the rule set allows it, and why."""

    model = Concession
    serializer_class = bodies.ConcessionSerializer
    create_serializer = bodies.ConcessionCreateSerializer
    required_capabilities: ClassVar = {
        **ReadOnlyRecordViewSet.required_capabilities,
        "create": Capability.CONCEDE,
    }
    filterset_fields: ClassVar = {**OF_AN_INSTALLATION, "code": ["exact"]}

    def perform_create(self, idempotency_key: IdempotencyKey, body: dict[str, Any]) -> Record:
        return concede(actor=self.actor, idempotency_key=idempotency_key, **body)


class HandoverViewSet(ReadOnlyRecordViewSet, IdempotentCreateMixin):
    """Handovers: the customer was shown everything, got the keys, and acknowledged it."""

    model = Handover
    serializer_class = bodies.HandoverSerializer
    create_serializer = bodies.HandoverCreateSerializer
    required_capabilities: ClassVar = {
        **ReadOnlyRecordViewSet.required_capabilities,
        "create": Capability.RECORD_FITTING,
    }
    filterset_fields: ClassVar = {"job": ["exact"], "job__reference": ["exact"]}

    def perform_create(self, idempotency_key: IdempotencyKey, body: dict[str, Any]) -> Record:
        return hand_over(actor=self.actor, idempotency_key=idempotency_key, **body)
