"""Endpoints of instruments, surveys, fit decisions and the order of a doorset."""

from typing import Any, ClassVar

from django.db.models import QuerySet
from drf_spectacular.utils import extend_schema
from rest_framework.decorators import action
from rest_framework.request import Request
from rest_framework.response import Response

from jobs.api.doorset_serializers import DoorsetAnswer
from jobs.api.records import ANYBODY, ChangeRecords, CreateRecords, ReadRecords, Records
from jobs.api.tables import TakenAwayRecords
from jobs.identity import Identity
from jobs.models import Doorset, Record
from surveys.api import serializers as bodies
from surveys.models import FitDecision, Instrument, Survey
from surveys.services import fit_decisions, instruments, orders, surveys
from surveys.tables import SURVEY_READINGS


class Instruments(ReadRecords, CreateRecords, ChangeRecords):
    """Instruments: how good each is, and until when its calibration runs."""

    model = Instrument
    serializer_class = bodies.InstrumentAnswer
    create_serializer = bodies.NewInstrument
    change_serializer = bodies.InstrumentChange
    filterset_fields: ClassVar = {"kind": ["exact"], "serial": ["exact"]}

    def make(self, identity: Identity, body: dict[str, Any]) -> Record:
        return instruments.add_instrument(actor=self.actor, identity=identity, **body)

    def change(self, record: Any, version: int, body: dict[str, Any]) -> Record:
        return instruments.change_instrument(
            actor=self.actor, instrument=record, expected_version=version, **body
        )


class Surveys(TakenAwayRecords, CreateRecords):
    """Surveys: one set of readings of an opening, and what it says about the opening.

    A surveyor records first surveys on survey visits of their own, a fitter surveys before removal
    on fitting visits of their own, the office either.
    """

    model = Survey
    table = SURVEY_READINGS
    serializer_class = bodies.SurveyAnswer
    create_serializer = bodies.NewSurvey
    may: ClassVar = {**ReadRecords.may, "create": ANYBODY}
    filterset_fields: ClassVar = {
        "opening": ["exact"],
        "opening__job": ["exact"],
        "opening__job__reference": ["exact"],
        "visit": ["exact"],
        "stage": ["exact"],
    }
    changes_a_version = frozenset({"accept"})

    def make(self, identity: Identity, body: dict[str, Any]) -> Record:
        return surveys.record_survey(actor=self.actor, identity=identity, **body)

    @extend_schema(request=None, responses=bodies.SurveyAnswer)
    @action(detail=True, methods=["post"])
    def accept(self, request: Request, pk: str) -> Response:
        """Accept a first survey as what may be ordered by."""
        version = self.expected_version
        survey = surveys.accept_survey(
            actor=self.actor, survey=self.get_object(), expected_version=version
        )
        return self.answer(survey)

    def related(self, queryset: QuerySet) -> QuerySet:
        return queryset.prefetch_related("readings")


class FitDecisions(ReadRecords, CreateRecords):
    """Fit decisions: the frozen answer of opening-fit for a survey and a doorset.

    From a first survey the frame is decided as drafted, from one before removal as delivered.
    """

    model = FitDecision
    serializer_class = bodies.FitDecisionAnswer
    create_serializer = bodies.NewFitDecision
    may: ClassVar = {**ReadRecords.may, "create": ANYBODY}
    filterset_fields: ClassVar = {
        "survey": ["exact"],
        "doorset": ["exact"],
        "verdict": ["exact"],
        "survey__opening__job__reference": ["exact"],
    }

    def make(self, identity: Identity, body: dict[str, Any]) -> Record:
        return fit_decisions.record_fit_decision(actor=self.actor, identity=identity, **body)


class Orders(Records):
    """The order of a drafted doorset."""

    model = Doorset
    serializer_class = DoorsetAnswer
    changes_a_version = frozenset({"order"})

    @extend_schema(request=None, responses=DoorsetAnswer)
    @action(detail=True, methods=["post"])
    def order(self, request: Request, pk: str) -> Response:
        """Order the doorset; while the order gate is closed, 409 lists what stands in the way."""
        version = self.expected_version
        doorset = orders.order_doorset(
            actor=self.actor, doorset=self.get_object(), expected_version=version
        )
        return self.answer(doorset)
