"""An operation applied for a person, whichever way it came: exactly as its endpoint does it."""

from functools import cached_property
from typing import Any, cast
from uuid import UUID

from django.db import transaction
from django.db.models import QuerySet
from django.shortcuts import get_object_or_404
from django.utils.translation import gettext as _
from rest_framework.exceptions import PermissionDenied
from rest_framework.request import Request

from installs.operations import OPERATIONS
from installs.services.setting_aside import NAMED_MODELS, job_of_named, set_aside
from installs.services.sync import OperationHandler, SentOperation, record_known_as
from jobs.api.viewsets import validated_data
from jobs.errors import InvalidField
from jobs.idempotency import IdempotencyKey, create_idempotently
from jobs.models import Person, Record
from jobs.operations import Operation, Verdict, not_judged

# Of whatever is recorded on site: what is set aside may be of a kind that is not known here.
SEALED = frozenset(name for known in OPERATIONS.values() for name in known.model.sealed_fields)


class ApiOperationHandler(OperationHandler):
    """For the person of `request`; `body` is that of the endpoint, without the id."""

    def __init__(self, request: Request, sent: SentOperation, body: dict[str, Any]) -> None:
        self.sent, self.body = sent, body
        self.person = cast(Person, request.user)
        self.context = {"request": request}

    @property
    def operation(self) -> Operation:
        """Raises `InvalidField` for a kind of an older or newer phone: that is kept there."""
        if self.sent.kind not in OPERATIONS:
            raise InvalidField(
                "/kind",
                _("this service does not know {kind}; it stays on the phone until it does").format(
                    kind=self.sent.kind
                ),
            )
        return OPERATIONS[self.sent.kind]

    @property
    def tells_of_customer(self) -> bool:
        """Of a kind that is not known here nobody knows."""
        known = OPERATIONS.get(self.sent.kind)
        return known is None or bool(known.model.sealed_fields)

    def apply(self) -> tuple[Record, bool]:
        if not self.person.has_capability(self.operation.capability):
            raise PermissionDenied
        return self._change() if self.operation.changes else self._create()

    def set_aside(self, because: str) -> Record:
        """Without what a customer may ask to be erased: it is kept for good."""
        body = {name: value for name, value in self.body.items() if name not in SEALED}
        named = [(model, body.get(name)) for name, model in NAMED_MODELS.items()]
        if known := OPERATIONS.get(self.sent.kind):
            named.append((known.model, self.sent.record))
        job = job_of_named(self.person, named)
        return set_aside(
            actor=self.person, operation=self.sent, body=body, job=job, because=because
        )

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
