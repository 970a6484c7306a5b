"""Endpoints of the fitting: plans, inspections, and what was fitted."""

from typing import Any, ClassVar

from django.db.models import QuerySet
from drf_spectacular.utils import extend_schema
from rest_framework.decorators import action
from rest_framework.request import Request
from rest_framework.response import Response

from installs.api import serializers as bodies
from installs.api.register_serializers import AsFixedAnswer
from installs.as_fixed_report import as_fixed
from installs.models import Fixing, Inspection, Installation, JunctionGap, PlanStep, SashRecord
from installs.running_gear_advice import running_gear_advice
from installs.services import fitting
from installs.services.inspecting import inspect_step
from installs.services.installing import plan_installation
from installs.services.replanning import replan_installation
from installs.tables import FIXINGS, INSPECTION_READINGS, JUNCTION_GAPS
from jobs.api.paging import NewestFirst
from jobs.api.records import ANYBODY, FITTING, ChangeRecords, CreateRecords, ReadRecords
from jobs.api.tables import TakenAwayRecords
from jobs.identity import Identity
from jobs.models import Record

OF_AN_INSTALLATION = {
    "installation": ["exact"],
    "installation__doorset": ["exact"],
    "installation__doorset__opening__job": ["exact"],
    "installation__doorset__opening__job__reference": ["exact"],
}


class Installations(ReadRecords, CreateRecords):
    """Installations: the fitting of a doorset, with its plan frozen when it was made."""

    model = Installation
    serializer_class = bodies.InstallationAnswer
    create_serializer = bodies.NewInstallation
    may: ClassVar = {
        **ReadRecords.may,
        "create": FITTING,
        "replan": FITTING,
        "running_gear": ANYBODY,
        "as_fixed": ANYBODY,
    }
    changes_a_version = frozenset({"replan"})
    filterset_fields: ClassVar = {
        "doorset": ["exact"],
        "doorset__opening": ["exact"],
        "doorset__opening__job": ["exact"],
        "doorset__opening__job__reference": ["exact"],
        "visit": ["exact"],
    }

    def make(self, identity: Identity, body: dict[str, Any]) -> Record:
        return plan_installation(actor=self.actor, identity=identity, **body)

    @extend_schema(request=bodies.Replan, responses=bodies.InstallationAnswer)
    @action(detail=True, methods=["post"])
    def replan(self, request: Request, *args: Any, **kwargs: Any) -> Response:
        """Make the plan anew, with the reason, as long as no work has begun under it."""
        version = self.expected_version
        installation = self.get_object()
        body = self.read_body(bodies.Replan)
        changed = replan_installation(
            actor=self.actor, installation=installation, expected_version=version, **body
        )
        return self.answer(changed)

    @extend_schema(responses={200: bodies.ChainAdviceAnswer(many=True)})
    @action(detail=True, methods=["get"], url_path="running-gear", pagination_class=None)
    def running_gear(self, request: Request, *args: Any, **kwargs: Any) -> Response:
        """Which carriers to lift by how much, from the newest gaps read at each junction."""
        advice = running_gear_advice(self.get_object())
        return Response(bodies.ChainAdviceAnswer(advice, many=True).data)

    @extend_schema(responses={200: AsFixedAnswer(many=True)})
    @action(detail=True, methods=["get"], url_path="as-fixed", pagination_class=None)
    def as_fixed(self, request: Request, *args: Any, **kwargs: Any) -> Response:
        """The fixings as they were made against the plan: missing, added, moved, packers."""
        return Response(AsFixedAnswer(as_fixed(self.get_object()), many=True).data)


class InPlanOrder(NewestFirst):
    ordering = ("installation_id", "number")


class PlanSteps(ReadRecords):
    """Steps of fitting plans, in working order; `places` says what an inspection reads where."""

    model = PlanStep
    serializer_class = bodies.PlanStepAnswer
    pagination_class = InPlanOrder
    filterset_fields: ClassVar = {**OF_AN_INSTALLATION, "phase": ["exact"], "code": ["exact"]}


class Inspections(TakenAwayRecords, CreateRecords):
    """Inspections of steps, each judged when it is made; the newest of a step counts."""

    model = Inspection
    table = INSPECTION_READINGS
    serializer_class = bodies.InspectionAnswer
    create_serializer = bodies.NewInspection
    may: ClassVar = {**ReadRecords.may, "create": FITTING}
    filterset_fields: ClassVar = {
        "step": ["exact"],
        "step__installation": ["exact"],
        "step__installation__doorset__opening__job__reference": ["exact"],
        "outcome": ["exact"],
    }

    def make(self, identity: Identity, body: dict[str, Any]) -> Record:
        return inspect_step(actor=self.actor, identity=identity, **body)

    def related(self, queryset: QuerySet) -> QuerySet:
        return queryset.prefetch_related("readings", "step__installation__rule_set")


class Fixings(TakenAwayRecords, CreateRecords):
    """Fixings as they were made, each with the packers beside it."""

    model = Fixing
    table = FIXINGS
    serializer_class = bodies.FixingAnswer
    create_serializer = bodies.NewFixing
    may: ClassVar = {**ReadRecords.may, "create": FITTING}
    filterset_fields: ClassVar = {**OF_AN_INSTALLATION, "member": ["exact"]}

    def make(self, identity: Identity, body: dict[str, Any]) -> Record:
        return fitting.record_fixing(actor=self.actor, identity=identity, **body)


class JunctionGaps(TakenAwayRecords, CreateRecords):
    """Gaps at head and sill of a junction, in rounds; the newest round counts."""

    model = JunctionGap
    table = JUNCTION_GAPS
    serializer_class = bodies.JunctionGapAnswer
    create_serializer = bodies.NewJunctionGap
    may: ClassVar = {**ReadRecords.may, "create": FITTING}
    filterset_fields: ClassVar = {**OF_AN_INSTALLATION, "junction": ["exact"]}

    def make(self, identity: Identity, body: dict[str, Any]) -> Record:
        return fitting.record_gap(actor=self.actor, identity=identity, **body)


class SashRecords(ReadRecords, CreateRecords, ChangeRecords):
    """Sashes: blocks, brace, glass marking, and diagonals where they were measured."""

    model = SashRecord
    serializer_class = bodies.SashRecordAnswer
    create_serializer = bodies.NewSashRecord
    change_serializer = bodies.SashChange
    may: ClassVar = {**ReadRecords.may, "create": FITTING, "partial_update": FITTING}
    filterset_fields: ClassVar = {**OF_AN_INSTALLATION, "leaf": ["exact"]}

    def related(self, queryset: QuerySet) -> QuerySet:
        return queryset.select_related("installation")

    def make(self, identity: Identity, body: dict[str, Any]) -> Record:
        return fitting.record_sash(actor=self.actor, identity=identity, **body)

    def change(self, record: Any, version: int, body: dict[str, Any]) -> Record:
        return fitting.change_sash(actor=self.actor, sash=record, expected_version=version, **body)
