"""Endpoints of the fitting: plans, inspections, and what was fitted."""

from typing import Any, ClassVar

from django.db.models import QuerySet
from drf_spectacular.utils import extend_schema
from rest_framework.decorators import action
from rest_framework.request import Request
from rest_framework.response import Response

from installs.api import serializers as bodies
from installs.api.operation_views import OF_AN_INSTALLATION, OperationViewSet
from installs.api.register_serializers import AsFixedSerializer
from installs.as_fixed_report import as_fixed
from installs.models import Fixing, Inspection, Installation, JunctionGap, PlanStep, SashRecord
from installs.running_gear_advice import running_gear_advice
from installs.services.installing import plan_installation
from installs.services.replanning import replan_installation
from installs.tables import FIXINGS, INSPECTION_READINGS, JUNCTION_GAPS
from jobs.api.pagination import NewestFirstPagination
from jobs.api.tables import ExportMixin
from jobs.api.viewsets import (
    IdempotentCreateMixin,
    ReadOnlyRecordViewSet,
    VersionedUpdateMixin,
)
from jobs.capabilities import Capability
from jobs.idempotency import IdempotencyKey
from jobs.models import Record


class InstallationViewSet(ReadOnlyRecordViewSet, IdempotentCreateMixin):
    """Installations: the fitting of a doorset, with its plan frozen when it was made."""

    model = Installation
    serializer_class = bodies.InstallationSerializer
    create_serializer = bodies.InstallationCreateSerializer
    required_capabilities: ClassVar = {
        **ReadOnlyRecordViewSet.required_capabilities,
        "create": Capability.RECORD_FITTING,
        "replan": Capability.RECORD_FITTING,
        "running_gear": Capability.READ,
        "as_fixed": Capability.READ,
    }
    changes_a_version = frozenset({"replan"})
    filterset_fields: ClassVar = {
        "doorset": ["exact"],
        "doorset__opening": ["exact"],
        "doorset__opening__job": ["exact"],
        "doorset__opening__job__reference": ["exact"],
        "visit": ["exact"],
    }

    def perform_create(self, idempotency_key: IdempotencyKey, body: dict[str, Any]) -> Record:
        return plan_installation(actor=self.actor, idempotency_key=idempotency_key, **body)

    @extend_schema(request=bodies.ReplanSerializer, responses=bodies.InstallationSerializer)
    @action(detail=True, methods=["post"])
    def replan(self, request: Request, *args: Any, **kwargs: Any) -> Response:
        """Make the plan anew, with the reason, as long as no work has begun under it."""
        version = self.expected_version
        installation = self.get_object()
        body = self.get_validated_data(bodies.ReplanSerializer)
        changed = replan_installation(
            actor=self.actor, installation=installation, expected_version=version, **body
        )
        return self.get_response(changed)

    @extend_schema(responses={200: bodies.ChainAdviceSerializer(many=True)})
    @action(detail=True, methods=["get"], url_path="running-gear", pagination_class=None)
    def running_gear(self, request: Request, *args: Any, **kwargs: Any) -> Response:
        """Which carriers to lift by how much, from the newest gaps read at each junction."""
        advice = running_gear_advice(self.get_object())
        return Response(bodies.ChainAdviceSerializer(advice, many=True).data)

    @extend_schema(responses={200: AsFixedSerializer(many=True)})
    @action(detail=True, methods=["get"], url_path="as-fixed", pagination_class=None)
    def as_fixed(self, request: Request, *args: Any, **kwargs: Any) -> Response:
        """The fixings as they were made against the plan: missing, added, moved, packers."""
        return Response(AsFixedSerializer(as_fixed(self.get_object()), many=True).data)


class PlanOrderPagination(NewestFirstPagination):
    ordering = ("installation_id", "number")


class PlanStepViewSet(ReadOnlyRecordViewSet):
    """Steps of fitting plans, in working order; `places` says what an inspection reads where,
    `usable_instruments` with what."""

    model = PlanStep
    serializer_class = bodies.PlanStepSerializer
    pagination_class = PlanOrderPagination
    filterset_fields: ClassVar = {**OF_AN_INSTALLATION, "phase": ["exact"], "code": ["exact"]}

    def get_queryset(self) -> QuerySet:
        return super().get_queryset().select_related("installation__rule_set")


class InspectionViewSet(ExportMixin, OperationViewSet):
    """Inspections of steps, each judged when it is made; the newest of a step counts."""

    model = Inspection
    table = INSPECTION_READINGS
    serializer_class = bodies.InspectionSerializer
    filterset_fields: ClassVar = {
        "step": ["exact"],
        "step__installation": ["exact"],
        "step__installation__doorset__opening__job__reference": ["exact"],
        "outcome": ["exact"],
    }

    def get_queryset(self) -> QuerySet:
        return super().get_queryset().prefetch_related("readings", "step__installation__rule_set")


class FixingViewSet(ExportMixin, OperationViewSet):
    """Fixings as they were made, each with the packers beside it."""

    model = Fixing
    table = FIXINGS
    serializer_class = bodies.FixingSerializer
    filterset_fields: ClassVar = {**OF_AN_INSTALLATION, "member": ["exact"]}


class JunctionGapViewSet(ExportMixin, OperationViewSet):
    """Gaps at head and sill of a junction, in rounds; the newest round counts."""

    model = JunctionGap
    table = JUNCTION_GAPS
    serializer_class = bodies.JunctionGapSerializer
    filterset_fields: ClassVar = {**OF_AN_INSTALLATION, "junction": ["exact"]}


class SashRecordViewSet(OperationViewSet, VersionedUpdateMixin):
    """Sashes: blocks, brace, glass marking, and diagonals where they were measured."""

    model = SashRecord
    serializer_class = bodies.SashRecordSerializer
    filterset_fields: ClassVar = {**OF_AN_INSTALLATION, "leaf": ["exact"]}

    def get_queryset(self) -> QuerySet:
        return super().get_queryset().select_related("installation")
