"""An operation applied for a person, whichever way it came: exactly as its endpoint does it."""

from contextlib import suppress
from functools import cached_property
from typing import Any, cast
from uuid import UUID

from django.core.exceptions import ValidationError
from django.db import transaction
from django.db.models import QuerySet
from django.shortcuts import get_object_or_404
from django.utils.translation import gettext as _
from rest_framework.exceptions import PermissionDenied
from rest_framework.request import Request

from installs.models import Installation, PlanStep
from installs.operations import OPERATIONS, not_judged
from installs.services.setting_aside import set_aside
from installs.services.sync import OperationHandler, SentOperation, record_known_as
from installs.verdicts import Verdict
from jobs.api.viewsets import validated_data
from jobs.errors import InvalidField
from jobs.idempotency import IdempotencyKey, create_idempotently
from jobs.models import Job, Person, Record


class ApiOperationHandler(OperationHandler):
    """For the person of `request`; `body` is that of the endpoint, without the id."""

    def __init__(self, request: Request, sent: SentOperation, body: dict[str, Any]) -> None:
        self.operation = OPERATIONS[sent.kind]
        self.person = cast(Person, request.user)
        self.context = {"request": request}
        self.sent, self.body = sent, body

    def apply(self) -> tuple[Record, bool]:
        if not self.person.has_capability(self.operation.capability):
            raise PermissionDenied
        return self._change() if self.operation.changes else self._create()

    def set_aside(self) -> Record:
        """Without what a customer may ask to be erased: it is kept for good."""
        sealed = getattr(self.operation.model, "sealed_fields", ())
        body = {name: value for name, value in self.body.items() if name not in sealed}
        return set_aside(actor=self.person, operation=self.sent, body=body, job=self._job)

    def server_record(self) -> Record | None:
        return self._visible.filter(pk=self._record_known).first()

    def verdict(self) -> Verdict | None:
        """On the record that stands for what was done; None for what nobody judges."""
        if self.operation.verdict is not_judged or (record := self.server_record()) is None:
            return None
        return self.operation.verdict(record)

    def as_json(self, record: Record) -> dict[str, Any]:
        fields = self.operation.record(record, context=self.context).data
        return {name: value for name, value in fields.items() if name not in record.sealed_fields}

    @property
    def _visible(self) -> QuerySet:
        model: Any = self.operation.model
        visible: QuerySet = model.objects.visible_to(self.person)
        return visible

    @property
    def _job(self) -> Job | None:
        """That of the first thing its person sees of what it names."""
        named: list[tuple[Any, Any]] = [
            (Job, self.body.get("job")),
            (Installation, self.body.get("installation")),
            (PlanStep, self.body.get("step")),
            (self.operation.model, self.sent.record),
        ]
        for model, identifier in named:
            visible = model.objects.visible_to(self.person)
            with suppress(ValidationError, ValueError, TypeError):
                if identifier and (record := visible.filter(pk=identifier).first()):
                    return Job.objects.get(pk=record.journal_stream.removeprefix("job:"))
        return None

    @property
    def _is_stored(self) -> bool:
        return self.operation.model._default_manager.filter(pk=self.sent.record).exists()

    @cached_property
    def _record_known(self) -> UUID:
        """The record itself, or the one that said the same before this one was sent."""
        if self._is_stored:
            return self.sent.record
        return record_known_as(self.person, self.sent.record)

    def _create(self) -> tuple[Record, bool]:
        if self.sent.base_version is not None:
            raise InvalidField("/base_version", _("the operation creates its record; give null"))
        if "id" in self.body:
            raise InvalidField("/id", _("the operation names its record beside the body"))
        whole = self.body | {"id": str(self.sent.record)}
        values = dict(validated_data(self.operation.body, whole, self.context))
        key = IdempotencyKey.of(values.pop("id"), whole, recorded_at=self.sent.recorded_at)
        with transaction.atomic():
            if not self._is_stored and (same := self.operation.same(values, self.sent.recorded_at)):
                return same, False
            create = self.operation.create
            return create_idempotently(
                self.operation.model, key, lambda: create(self.person, key, values)
            )

    def _change(self) -> tuple[Record, bool]:
        version, operation = self.sent.base_version, self.operation
        if version is None:
            raise InvalidField(
                "/base_version", _("give the version of the record that this changes")
            )
        record = get_object_or_404(self._visible, pk=self._record_known)
        partial = operation.is_partial
        values = validated_data(operation.body, self.body, self.context, partial=partial)
        if operation.is_done(record, values):
            return record, False
        return operation.change(self.person, record, version, values), True
