"""Endpoints of instruments, surveys, fit decisions and the order of a doorset."""

from typing import Any, ClassVar

from django.db.models import QuerySet
from drf_spectacular.utils import extend_schema
from rest_framework.decorators import action
from rest_framework.request import Request
from rest_framework.response import Response

from jobs.api.doorset_serializers import DoorsetSerializer
from jobs.api.tables import ExportMixin
from jobs.api.viewsets import (
    IdempotentCreateMixin,
    ReadOnlyRecordViewSet,
    RecordViewSet,
    VersionedUpdateMixin,
)
from jobs.capabilities import Capability
from jobs.idempotency import IdempotencyKey
from jobs.models import Doorset, Record
from surveys.api import serializers as bodies
from surveys.models import FitDecision, Instrument, Survey
from surveys.services import fit_decisions, instruments, orders, surveys
from surveys.tables import SURVEY_READINGS


class Instruments(ReadOnlyRecordViewSet, IdempotentCreateMixin, VersionedUpdateMixin):
    """Instruments: how good each is, and until when its calibration runs."""

    model = Instrument
    serializer_class = bodies.InstrumentSerializer
    create_serializer = bodies.InstrumentCreateSerializer
    update_serializer = bodies.InstrumentUpdateSerializer
    required_capabilities: ClassVar = {
        **ReadOnlyRecordViewSet.required_capabilities,
        "create": Capability.MANAGE_CATALOGUE,
        "partial_update": Capability.MANAGE_CATALOGUE,
    }
    filterset_fields: ClassVar = {"kind": ["exact"], "serial": ["exact"]}

    def perform_create(self, idempotency_key: IdempotencyKey, body: dict[str, Any]) -> Record:
        return instruments.add_instrument(actor=self.actor, idempotency_key=idempotency_key, **body)

    def perform_update(self, record: Any, version: int, body: dict[str, Any]) -> Record:
        return instruments.change_instrument(
            actor=self.actor, instrument=record, expected_version=version, **body
        )


class SurveyViewSet(ExportMixin, IdempotentCreateMixin):
    """Surveys: one set of readings of an opening, and what it says about the opening.

    A surveyor records first surveys on survey visits of their own, a fitter surveys before and
    after removal of the old door on fitting visits of their own, the office any.
    """

    model = Survey
    table = SURVEY_READINGS
    serializer_class = bodies.SurveySerializer
    create_serializer = bodies.SurveyCreateSerializer
    required_capabilities: ClassVar = {
        **ReadOnlyRecordViewSet.required_capabilities,
        "create": Capability.MEASURE,
        "accept": Capability.ORDER,
    }
    filterset_fields: ClassVar = {
        "opening": ["exact"],
        "opening__job": ["exact"],
        "opening__job__reference": ["exact"],
        "visit": ["exact"],
        "stage": ["exact"],
    }
    changes_a_version = frozenset({"accept"})

    def perform_create(self, idempotency_key: IdempotencyKey, body: dict[str, Any]) -> Record:
        return surveys.record_survey(actor=self.actor, idempotency_key=idempotency_key, **body)

    @extend_schema(request=None, responses=bodies.SurveySerializer)
    @action(detail=True, methods=["post"])
    def accept(self, request: Request, pk: str) -> Response:
        """Accept a first survey as what may be ordered by."""
        version = self.expected_version
        survey = surveys.accept_survey(
            actor=self.actor, survey=self.get_object(), expected_version=version
        )
        return self.get_response(survey)

    def get_queryset(self) -> QuerySet:
        return super().get_queryset().prefetch_related("readings")


class FitDecisionViewSet(ReadOnlyRecordViewSet, IdempotentCreateMixin):
    """Fit decisions: the frozen answer of opening-fit for a survey and a doorset.

    From a first survey the frame is decided as drafted, from later ones as delivered.
    """

    model = FitDecision
    serializer_class = bodies.FitDecisionSerializer
    create_serializer = bodies.FitDecisionCreateSerializer
    required_capabilities: ClassVar = {
        **ReadOnlyRecordViewSet.required_capabilities,
        "create": Capability.MEASURE,
    }
    filterset_fields: ClassVar = {
        "survey": ["exact"],
        "doorset": ["exact"],
        "verdict": ["exact"],
        "survey__opening__job__reference": ["exact"],
    }

    def perform_create(self, idempotency_key: IdempotencyKey, body: dict[str, Any]) -> Record:
        return fit_decisions.record_fit_decision(
            actor=self.actor, idempotency_key=idempotency_key, **body
        )


class OrderViewSet(RecordViewSet):
    """The order of a drafted doorset."""

    model = Doorset
    serializer_class = DoorsetSerializer
    required_capabilities: ClassVar = {
        "order": Capability.ORDER,
    }
    changes_a_version = frozenset({"order"})

    @extend_schema(request=None, responses=DoorsetSerializer)
    @action(detail=True, methods=["post"])
    def order(self, request: Request, pk: str) -> Response:
        """Order the doorset; while the order gate is closed, 409 lists what stands in the way."""
        version = self.expected_version
        doorset = orders.order_doorset(
            actor=self.actor, doorset=self.get_object(), expected_version=version
        )
        return self.get_response(doorset)
