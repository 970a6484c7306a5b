"""Writing the journal.

Each stream is a chain: entry n holds the digest of entry n-1, so an old entry cannot change without
every later one changing.
"""

import hashlib
from datetime import UTC, date, datetime, timedelta
from typing import Any
from uuid import UUID

import rfc8785
from django.db import models, transaction
from django.utils import timezone

from jobs.journal_types import JournalType
from jobs.keyed_digests import keyed_digest
from jobs.models import JournalEntry, JournalStream, Person, Record


def append(
    *,
    stream: str,
    actor: Person | None,
    entry_type: JournalType,
    record: tuple[str, str],
    body: dict[str, Any],
) -> JournalEntry:
    """Add one entry to a chain; locks the chain's head row.

    Raises `TransactionManagementError` outside the transaction of a service: what is journalled and
    its entry are stored together or not at all.
    """
    if not transaction.get_connection().in_atomic_block:
        raise transaction.TransactionManagementError("the journal is written in a transaction only")
    head = _locked_head(stream)
    created_at = _moment_after(head.last_entry_at)
    number = head.length + 1
    text = rfc8785.dumps(
        {
            "actor": str(actor.pk) if actor else None,
            "body": body,
            "created_at": created_at.astimezone(UTC).isoformat(),
            "number": number,
            "previous": head.head,
            "record": {"kind": record[0], "id": record[1]},
            "stream": stream,
            "type": entry_type.value,
        }
    ).decode()
    digest = hashlib.sha256(text.encode()).hexdigest()
    entry = JournalEntry.objects.create(
        stream=head,
        number=number,
        created_at=created_at,
        actor=actor,
        type=entry_type,
        record_kind=record[0],
        record_id=record[1],
        text=text,
        digest=digest,
    )
    entry.follows = head.last_entry_at
    head.length, head.head, head.last_entry_at = number, digest, created_at
    head.save(update_fields=["length", "head", "last_entry_at"])
    return entry


def _locked_head(stream: str) -> JournalStream:
    """The head row of a chain under its lock; a chain begins with its first entry."""
    heads = JournalStream.objects.select_for_update().filter(name=stream)
    if head := heads.first():
        return head
    JournalStream.objects.get_or_create(name=stream)
    return heads.get()


def _moment_after(before: datetime | None) -> datetime:
    """Now; just after `before` where this machine's clock lies behind the one that wrote then."""
    now = timezone.now()
    return now if before is None or before < now else before + timedelta(microseconds=1)


def append_record(
    record: Record, *, actor: Person | None, entry_type: JournalType, **parts: Any
) -> JournalEntry:
    """Journal the whole state of a record after the change of this type, and the `parts` of it
    that have rows of their own."""
    return append(
        stream=record.journal_stream,
        actor=actor,
        entry_type=entry_type,
        record=(record._meta.label_lower, str(record.pk)),
        body=snapshot(record) | parts,
    )


def append_new(
    record: Record, *, actor: Person | None, entry_type: JournalType, **parts: Any
) -> None:
    """The same for a record that was stored just now.

    The newest of a kind counts, and which that is must not hang on whose clock is right: where the
    chain holds something later already, the record is made as late as its entry.
    """
    entry = append_record(record, actor=actor, entry_type=entry_type, **parts)
    if entry.follows and record.created_at <= entry.follows:
        record.created_at = entry.created_at
        type(record)._default_manager.filter(pk=record.pk).update(created_at=entry.created_at)


def snapshot(record: Record) -> dict[str, Any]:
    """All stored fields of a record as plain JSON; personal ones as keyed digests."""
    body = {}
    for field in record._meta.concrete_fields:
        if field.name in ("seal_key", "created_at", "updated_at"):
            continue
        value = _plain(field.value_from_object(record))
        if field.name in record.sealed_fields or _tells_what_is_sealed(record, field.name):
            value = keyed_digest(getattr(record, "seal_key"), field.name, value)  # noqa: B009
        body[field.name] = value
    for relation in record._meta.many_to_many:
        keys = getattr(record, relation.name).values_list("pk", flat=True)
        body[relation.name] = sorted(str(key) for key in keys)
    return body


def _plain(value: Any) -> Any:
    if isinstance(value, datetime):
        return value.astimezone(UTC).isoformat()
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, models.fields.files.FieldFile):
        return value.name
    return str(value) if isinstance(value, UUID) else value


def _tells_what_is_sealed(record: Record, name: str) -> bool:
    """The digest of the body that made a record has no key: a guess at the body could be tried."""
    return name == "creation_digest" and bool(record.sealed_fields)
