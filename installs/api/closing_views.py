"""Endpoints of what is left to settle: defects, concessions and the handover."""

from typing import Any, ClassVar

from installs.api import closing_serializers as bodies
from installs.api.operation_views import OF_AN_INSTALLATION, OperationViewSet
from installs.models import Concession, Defect, Handover
from installs.services.concessions import concede
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
    serializer_class = bodies.DefectSerializer
    filterset_fields: ClassVar = {
        **OF_AN_INSTALLATION,
        "severity": ["exact"],
        "closed_at": ["isnull"],
    }


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
