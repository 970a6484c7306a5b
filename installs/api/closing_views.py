"""Endpoints of what is left to settle: defects, concessions and the handover."""

from typing import Any, ClassVar

from drf_spectacular.utils import extend_schema
from rest_framework.decorators import action
from rest_framework.request import Request
from rest_framework.response import Response

from installs.api import closing_serializers as bodies
from installs.api.operation_views import OF_AN_INSTALLATION, OperationViewSet
from installs.models import Concession, Defect, Handover
from installs.services.concessions import concede
from installs.services.defects import close_on_evidence
from installs.tables import DEFECTS
from jobs.api.tables import ExportMixin
from jobs.api.viewsets import IdempotentCreateMixin, ReadOnlyRecordViewSet
from jobs.capabilities import Capability
from jobs.idempotency import IdempotencyKey
from jobs.models import Record


class DefectViewSet(ExportMixin, OperationViewSet):
    """Defects: found, put right, looked at again. Failed inspections open theirs by themselves."""

    model = Defect
    table = DEFECTS
    of_the_office: ClassVar = {"close_on_evidence": Capability.CONCEDE}
    serializer_class = bodies.DefectSerializer
    filterset_fields: ClassVar = {
        **OF_AN_INSTALLATION,
        "severity": ["exact"],
        "closed_at": ["isnull"],
        "found_after": ["isnull"],
    }

    @extend_schema(request=bodies.EvidenceSerializer, responses=bodies.DefectSerializer)
    @action(detail=True, methods=["post"], url_path="close-on-evidence")
    def close_on_evidence(self, request: Request, pk: str) -> Response:
        """Close it by its photos before and after, and by what was read since; not by whoever put
        it right."""
        version = self.expected_version
        defect = close_on_evidence(
            actor=self.actor,
            defect=self.get_object(),
            expected_version=version,
            **self.get_validated_data(bodies.EvidenceSerializer),
        )
        return self.get_response(defect)


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


class HandoverViewSet(OperationViewSet):
    """Handovers: the customer was shown everything, got the keys, and acknowledged it."""

    model = Handover
    serializer_class = bodies.HandoverSerializer
    filterset_fields: ClassVar = {"job": ["exact"], "job__reference": ["exact"]}
