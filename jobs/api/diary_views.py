"""Endpoints of the diary: crews and visits."""

from typing import Any, ClassVar

from django.db.models import QuerySet
from drf_spectacular.utils import extend_schema
from rest_framework import status
from rest_framework.decorators import action
from rest_framework.request import Request
from rest_framework.response import Response

from jobs.api import serializers as bodies
from jobs.api.tables import ExportMixin
from jobs.api.viewsets import IdempotentCreateMixin, ReadOnlyRecordViewSet, VersionedUpdateMixin
from jobs.capabilities import Capability
from jobs.crew_calendars import calendar_address
from jobs.idempotency import IdempotencyKey
from jobs.models import Crew, Record, Visit
from jobs.services import crew_calendars
from jobs.services import diary as services
from jobs.tables import VISITS


class CrewViewSet(ReadOnlyRecordViewSet, IdempotentCreateMixin, VersionedUpdateMixin):
    """Crews: who goes out together."""

    model = Crew
    serializer_class = bodies.CrewSerializer
    create_serializer = bodies.CrewCreateSerializer
    update_serializer = bodies.CrewUpdateSerializer
    required_capabilities: ClassVar = {
        **ReadOnlyRecordViewSet.required_capabilities,
        "create": Capability.BOOK,
        "partial_update": Capability.BOOK,
        "calendar": Capability.BOOK,
        "end_calendar": Capability.BOOK,
    }
    http_method_names = (*ReadOnlyRecordViewSet.http_method_names, "delete")
    changes_a_version = frozenset({"calendar", "end_calendar"})

    def perform_create(self, idempotency_key: IdempotencyKey, body: dict[str, Any]) -> Record:
        return services.add_crew(actor=self.actor, idempotency_key=idempotency_key, **body)

    def perform_update(self, record: Any, version: int, body: dict[str, Any]) -> Record:
        return services.change_crew(actor=self.actor, crew=record, expected_version=version, **body)

    @extend_schema(request=None, responses={201: bodies.CalendarAddressSerializer})
    @action(detail=True, methods=["post"])
    def calendar(self, request: Request, pk: str) -> Response:
        """Make a secret address for the crew's calendar; the one before ends with it.

        Without signing in, the address gives the visits of the crew as iCalendar (RFC 5545), from
        30 days back onwards, those cancelled too: kind of visit, reference of the job, times, and
        the address of the site. It names no customer.
        """
        version = self.expected_version
        issued = crew_calendars.give_out_calendar(
            actor=self.actor, crew=self.get_object(), expected_version=version
        )
        answer = bodies.CalendarAddressSerializer({"address": calendar_address(issued.secret)})
        etag = f'"{issued.crew.version}"'
        return Response(answer.data, status.HTTP_201_CREATED, headers={"ETag": etag})

    @extend_schema(request=None, responses={200: bodies.CrewSerializer})
    @calendar.mapping.delete
    def end_calendar(self, request: Request, pk: str) -> Response:
        """End the address of the crew's calendar; whoever asks there finds nothing (404)."""
        version = self.expected_version
        crew = crew_calendars.end_calendar(
            actor=self.actor, crew=self.get_object(), expected_version=version
        )
        return self.get_response(crew)

    def get_queryset(self) -> QuerySet:
        return super().get_queryset().prefetch_related("members")


class VisitViewSet(ExportMixin, IdempotentCreateMixin, VersionedUpdateMixin):
    """Visits of a crew to a site. Nobody can be booked twice at one time."""

    model = Visit
    table = VISITS
    serializer_class = bodies.VisitDetailSerializer
    list_serializer = bodies.VisitSerializer
    create_serializer = bodies.VisitCreateSerializer
    update_serializer = bodies.VisitUpdateSerializer
    required_capabilities: ClassVar = {
        **ReadOnlyRecordViewSet.required_capabilities,
        "create": Capability.BOOK,
        "partial_update": Capability.BOOK,
        "cancel": Capability.BOOK,
        "end": Capability.BOOK,
    }
    filterset_fields: ClassVar = {
        "job": ["exact"],
        "job__reference": ["exact"],
        "kind": ["exact"],
        "crew": ["exact"],
        "start": ["gte", "lt"],
    }
    changes_a_version = frozenset({"cancel", "end"})

    def perform_create(self, idempotency_key: IdempotencyKey, body: dict[str, Any]) -> Record:
        return services.book_visit(actor=self.actor, idempotency_key=idempotency_key, **body)

    def perform_update(self, record: Any, version: int, body: dict[str, Any]) -> Record:
        times = {"start": record.start, "end": record.end} | body
        return services.move_visit(
            actor=self.actor, visit=record, expected_version=version, **times
        )

    @extend_schema(request=None, responses=bodies.VisitDetailSerializer)
    @action(detail=True, methods=["post"])
    def cancel(self, request: Request, pk: str) -> Response:
        """Cancel the visit; its people are free again."""
        version = self.expected_version
        visit = services.cancel_visit(
            actor=self.actor, visit=self.get_object(), expected_version=version
        )
        return self.get_response(visit)

    @extend_schema(request=None, responses=bodies.VisitDetailSerializer)
    @action(detail=True, methods=["post"])
    def end(self, request: Request, pk: str) -> Response:
        """Say that a visit which has begun is over now; the handover says so of those to fit."""
        version = self.expected_version
        visit = services.end_visit(
            actor=self.actor, visit=self.get_object(), expected_version=version
        )
        return self.get_response(visit)

    def get_queryset(self) -> QuerySet:
        return super().get_queryset().prefetch_related("people")
