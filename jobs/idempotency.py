"""Identities made by clients, and what makes a repeated creation harmless."""

import hashlib
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any, TypeVar
from uuid import UUID, uuid4, uuid5

import rfc8785
from django.db import IntegrityError
from django.utils.translation import gettext as _

from jobs.arithmetic.errors import UnusableInput
from jobs.errors import Conflict, DomainError, InvalidField
from jobs.models import Record

R = TypeVar("R", bound=Record)


@dataclass(frozen=True, slots=True)
class IdempotencyKey:
    """The `id` a client gave a new record and the digest of the body it gave with it.

    `recorded_at` is when the client made the record, where that was earlier than its sending.
    """

    id: UUID = field(default_factory=uuid4)
    digest: str = ""
    recorded_at: datetime | None = None

    @classmethod
    def of(
        cls, identifier: UUID | None, body: Mapping[str, Any], recorded_at: datetime | None = None
    ) -> "IdempotencyKey":
        """Identity of a request body of plain JSON; without an identifier a new one is made."""
        try:
            digest = hashlib.sha256(rfc8785.dumps(dict(body))).hexdigest()
        except rfc8785.FloatDomainError:
            raise InvalidField("", _("the body has a number beyond all bounds")) from None
        return cls(identifier or uuid4(), digest, recorded_at)

    def derived(self, name: str) -> "IdempotencyKey":
        """Identity of what the service adds by itself to this record: the same in every replay."""
        return IdempotencyKey(uuid5(self.id, name), recorded_at=self.recorded_at)

    @property
    def columns(self) -> dict[str, Any]:
        recorded_at = {"recorded_at": self.recorded_at} if self.recorded_at else {}
        return {"id": self.id, "creation_digest": self.digest, **recorded_at}


def create_idempotently(
    model: type[R], idempotency_key: IdempotencyKey, create: Callable[[], R]
) -> tuple[R, bool]:
    """The record of this identity and whether it was made just now.

    A repeat with the same body returns what is stored; one with another body raises `Conflict`.
    Repeats are rare, so it is created first and looked for where that fails: `create` stores
    nothing then. Where it costs much, use `get_or_create_idempotently`.
    """
    try:
        return create(), True
    except (IntegrityError, DomainError, UnusableInput) as error:
        # What is stored already is in the way of this one, be it by its key or by a rule such as
        # that nobody is booked twice; whether it came a while ago or at the same moment.
        if stored := _stored(model, idempotency_key):
            return stored, False
        if isinstance(error, IntegrityError) and "unique" in str(error).lower():
            raise Conflict(
                _("there can be only one such record, and it is saved already")
            ) from error
        raise


def get_or_create_idempotently(
    model: type[R], idempotency_key: IdempotencyKey, create: Callable[[], R]
) -> tuple[R, bool]:
    """The same, for what a repeat must not do twice before it fails: re-encoding a photograph."""
    if stored := _stored(model, idempotency_key):
        return stored, False
    return create_idempotently(model, idempotency_key, create)


def _stored(model: type[R], idempotency_key: IdempotencyKey) -> R | None:
    record = model._default_manager.filter(pk=idempotency_key.id).first()
    if record is not None and record.creation_digest != idempotency_key.digest:
        text = _("id {id} was used before with another body")
        raise Conflict(text.format(id=idempotency_key.id))
    return record
