"""What a fitter's phone may queue: every kind of operation, done as its single endpoint does it."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from django.shortcuts import get_object_or_404
from rest_framework import serializers
from rest_framework.exceptions import PermissionDenied
from rest_framework.request import Request

from installs.api import (
    closing_serializers,
    closing_views,
    register_serializers,
    register_views,
    views,
)
from installs.api import serializers as bodies
from installs.services import defects, fitting
from installs.services.beads import put_bead_back, take_bead_off
from installs.services.handing_over import hand_over
from installs.services.inspecting import inspect_step
from installs.services.running_gear import record_lift
from installs.services.sync import Operation, OperationHandler
from jobs.api.viewsets import RecordViewSet, required_capability
from jobs.errors import InvalidField
from jobs.idempotency import IdempotencyKey, create_idempotently
from jobs.models import Record


@dataclass(frozen=True, slots=True)
class Kind:
    """The view of the record and its action, whose capability and visibility are those of the
    operation too; the body it takes; the service that does it. `changes` is what that service
    calls the record which it changes; without it the operation creates one."""

    view: type[RecordViewSet]
    action: str
    body: type[serializers.BaseSerializer]
    service: Callable[..., Record]
    changes: str = ""


KINDS = {
    "inspect_step": Kind(
        views.InspectionViewSet, "create", bodies.InspectionCreateSerializer, inspect_step
    ),
    "record_fixing": Kind(
        views.FixingViewSet, "create", bodies.FixingCreateSerializer, fitting.record_fixing
    ),
    "record_gap": Kind(
        views.JunctionGapViewSet, "create", bodies.JunctionGapCreateSerializer, fitting.record_gap
    ),
    "record_sash": Kind(
        views.SashRecordViewSet, "create", bodies.SashRecordCreateSerializer, fitting.record_sash
    ),
    "change_sash": Kind(
        views.SashRecordViewSet,
        "partial_update",
        bodies.SashRecordUpdateSerializer,
        fitting.change_sash,
        "sash",
    ),
    "take_bead_off": Kind(
        register_views.BeadViewSet,
        "create",
        register_serializers.BeadCreateSerializer,
        take_bead_off,
    ),
    "put_bead_back": Kind(
        register_views.BeadViewSet,
        "put_back",
        register_serializers.BeadPlaceSerializer,
        put_bead_back,
        "bead",
    ),
    "record_lift": Kind(
        register_views.CarrierLiftViewSet,
        "create",
        register_serializers.CarrierLiftCreateSerializer,
        record_lift,
    ),
    "report_defect": Kind(
        closing_views.DefectViewSet,
        "create",
        closing_serializers.DefectCreateSerializer,
        defects.record_defect,
    ),
    "put_defect_right": Kind(
        closing_views.DefectViewSet,
        "put_right",
        closing_serializers.PutDefectRightSerializer,
        defects.put_right,
        "defect",
    ),
    "reinspect_defect": Kind(
        closing_views.DefectViewSet,
        "reinspect",
        closing_serializers.ReinspectionSerializer,
        defects.reinspect,
        "defect",
    ),
    "hand_over": Kind(
        closing_views.HandoverViewSet,
        "create",
        closing_serializers.HandoverCreateSerializer,
        hand_over,
    ),
}


def operation_handler(
    request: Request, operation: Operation, body: dict[str, Any]
) -> OperationHandler:
    """How the person of this request does an operation with this body."""
    kind = KINDS[operation.kind]
    view = kind.view(request=request, action=kind.action, format_kwarg=None)
    do = _change if kind.changes else _create

    def standing() -> Record | None:
        return view.get_queryset().filter(pk=operation.record).first()

    def done() -> tuple[Record, bool]:
        if not view.actor.has_capability(required_capability(view, kind.action)):
            raise PermissionDenied
        return do(kind, view, operation, body)

    return OperationHandler(do=done, standing=standing, show=lambda record: _shown(view, record))


def _create(
    kind: Kind, view: RecordViewSet, operation: Operation, body: dict[str, Any]
) -> tuple[Record, bool]:
    if operation.base_version is not None:
        raise InvalidField("/base_version", "the operation creates its record; give null")
    if "id" in body:
        raise InvalidField("/id", "the operation names its record beside the body")
    whole = body | {"id": str(operation.record)}
    values = dict(view.get_validated_data(kind.body, whole))
    idempotency_key = IdempotencyKey.of(values.pop("id"), whole, made_at=operation.made_at)
    return create_idempotently(
        view.model,
        idempotency_key,
        lambda: kind.service(actor=view.actor, idempotency_key=idempotency_key, **values),
    )


def _change(
    kind: Kind, view: RecordViewSet, operation: Operation, body: dict[str, Any]
) -> tuple[Record, bool]:
    if operation.base_version is None:
        raise InvalidField("/base_version", "give the version of the record that this changes")
    record = get_object_or_404(view.get_queryset(), pk=operation.record)
    values = view.get_validated_data(kind.body, body, partial=kind.action == "partial_update")
    values[kind.changes] = record
    changed = kind.service(actor=view.actor, expected_version=operation.base_version, **values)
    return changed, True


def _shown(view: RecordViewSet, record: Record) -> dict[str, Any]:
    """The record as its endpoint shows it, save what its person may ask to be erased: an answer
    that is kept must not keep that."""
    shown = view.serializer_class(record, context=view.get_serializer_context()).data
    return {name: value for name, value in shown.items() if name not in record.sealed_fields}
