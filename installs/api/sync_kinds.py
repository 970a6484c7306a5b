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
from installs.services.sync import Deed, Operation
from jobs.api.records import OFFICE, Records
from jobs.identity import Identity, created_once
from jobs.models import Record
from jobs.refusals import InvalidField


@dataclass(frozen=True, slots=True)
class Kind:
    """The view of the record and its action, whose roles and visibility go for the operation too;
    the body it takes; the service that does it. `changes` is what that service calls the record
    which it changes; without it the operation creates one."""

    view: type[Records]
    action: str
    body: type[serializers.BaseSerializer]
    service: Callable[..., Record]
    changes: str = ""


KINDS = {
    "inspect_step": Kind(views.Inspections, "create", bodies.NewInspection, inspect_step),
    "record_fixing": Kind(views.Fixings, "create", bodies.NewFixing, fitting.record_fixing),
    "record_gap": Kind(views.JunctionGaps, "create", bodies.NewJunctionGap, fitting.record_gap),
    "record_sash": Kind(views.SashRecords, "create", bodies.NewSashRecord, fitting.record_sash),
    "change_sash": Kind(
        views.SashRecords, "partial_update", bodies.SashChange, fitting.change_sash, "sash"
    ),
    "take_bead_off": Kind(
        register_views.Beads, "create", register_serializers.NewBead, take_bead_off
    ),
    "put_bead_back": Kind(
        register_views.Beads, "put_back", register_serializers.BeadPlace, put_bead_back, "bead"
    ),
    "record_lift": Kind(
        register_views.CarrierLifts, "create", register_serializers.NewCarrierLift, record_lift
    ),
    "report_defect": Kind(
        closing_views.Defects, "create", closing_serializers.NewDefect, defects.record_defect
    ),
    "put_defect_right": Kind(
        closing_views.Defects,
        "put_right",
        closing_serializers.PutRight,
        defects.put_right,
        "defect",
    ),
    "reinspect_defect": Kind(
        closing_views.Defects,
        "reinspect",
        closing_serializers.Reinspection,
        defects.reinspect,
        "defect",
    ),
    "hand_over": Kind(
        closing_views.Handovers, "create", closing_serializers.NewHandover, hand_over
    ),
}


def deed_of(request: Request, operation: Operation, body: dict[str, Any]) -> Deed:
    """How the person of this request does an operation with this body."""
    kind = KINDS[operation.kind]
    view = kind.view(request=request, action=kind.action, format_kwarg=None)
    do = _change if kind.changes else _create

    def standing() -> Record | None:
        return view.get_queryset().filter(pk=operation.record).first()

    def done() -> tuple[Record, bool]:
        if not view.actor.acts_as(*view.may.get(kind.action, OFFICE)):
            raise PermissionDenied
        return do(kind, view, operation, body)

    return Deed(do=done, standing=standing, show=lambda record: _shown(view, record))


def _create(
    kind: Kind, view: Records, operation: Operation, body: dict[str, Any]
) -> tuple[Record, bool]:
    if operation.base_version is not None:
        raise InvalidField("/base_version", "the operation creates its record; give null")
    if "id" in body:
        raise InvalidField("/id", "the operation names its record beside the body")
    whole = body | {"id": str(operation.record)}
    values = dict(view.read_body(kind.body, whole))
    identity = Identity.of(values.pop("id"), whole, made_at=operation.made_at)
    return created_once(
        view.model,
        identity,
        lambda: kind.service(actor=view.actor, identity=identity, **values),
    )


def _change(
    kind: Kind, view: Records, operation: Operation, body: dict[str, Any]
) -> tuple[Record, bool]:
    if operation.base_version is None:
        raise InvalidField("/base_version", "give the version of the record that this changes")
    record = get_object_or_404(view.get_queryset(), pk=operation.record)
    values = view.read_body(kind.body, body, partial=kind.action == "partial_update")
    values[kind.changes] = record
    changed = kind.service(actor=view.actor, expected_version=operation.base_version, **values)
    return changed, True


def _shown(view: Records, record: Record) -> dict[str, Any]:
    """The record as its endpoint shows it, save what its person may ask to be erased: an answer
    that is kept must not keep that."""
    shown = view.serializer_class(record, context=view.get_serializer_context()).data
    return {name: value for name, value in shown.items() if name not in record.sealed_fields}
