"""Writing the journal.

Each stream is a chain: entry n holds the digest of entry n-1, so an old entry cannot change without
every later one changing.

An entry that a service writes of a record it stored or changed holds the record's whole state, with
its parts and the digests of its files, and in `changed` what the service changed of it: null for a
new record. `jobs.services.record_check` compares them with what the database holds.

What a phone sent has its signature in the entry of the record that it made or changed, in
`signature`: null where it was not signed.
"""

import hashlib
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import Any

import rfc8785
from django.db import transaction
from django.utils import timezone

from jobs.device_keys import SignedText
from jobs.journal_types import JournalType
from jobs.models import (
    JournalEntry,
    Journalled,
    JournalStream,
    Person,
    Record,
    SealedContent,
)
from jobs.services.states import names_of, state_of


@dataclass(frozen=True, slots=True)
class SentByPhone:
    """What is journalled of the records of these `keys` was sent by a phone; `signed` is None where
    that did not sign it. `is_sealed`: the customer may ask that what was signed is erased."""

    keys: frozenset[str]
    signed: SignedText | None
    is_sealed: bool

    @property
    def signature(self) -> dict[str, str] | None:
        if self.signed is None:
            return None
        shown = self.signed.without_payload() if self.is_sealed else self.signed
        return {"thumbprint": self.signed.key_id, "jws": shown.compact}


_sent: ContextVar[SentByPhone | None] = ContextVar("sent_by_phone", default=None)


@contextmanager
def journalled_as(sent: SentByPhone) -> Iterator[None]:
    """What is done within was sent by a phone."""
    before = _sent.set(sent)
    try:
        yield
    finally:
        _sent.reset(before)


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
    return _append(_locked_head(stream), actor, entry_type, record, {"body": body})


def _append(
    head: JournalStream,
    actor: Person | None,
    entry_type: JournalType,
    record: tuple[str, str],
    content: dict[str, Any],
) -> JournalEntry:
    created_at = _moment_after(head.last_entry_at)
    number = head.length + 1
    sent = _sent.get()
    if sent and record[1] in sent.keys:
        content = content | {"signature": sent.signature}
    text = rfc8785.dumps(
        {
            "actor": str(actor.pk) if actor else None,
            "created_at": created_at.astimezone(UTC).isoformat(),
            "number": number,
            "previous": head.head,
            "record": {"kind": record[0], "id": record[1]},
            "stream": head.name,
            "type": entry_type.value,
            **content,
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
    if sent and record[1] in sent.keys and sent.signed and sent.is_sealed:
        SealedContent.objects.create(entry=entry, payload=sent.signed.payload)
    head.length, head.head, head.last_entry_at = number, digest, created_at
    head.save(update_fields=["length", "head", "last_entry_at"])
    return entry


def _locked_head(stream: str) -> JournalStream:
    """The head row of a chain under its lock; a chain begins with its first entry."""
    if not transaction.get_connection().in_atomic_block:
        raise transaction.TransactionManagementError("the journal is written in a transaction only")
    heads = JournalStream.objects.select_for_update().filter(name=stream)
    if head := heads.first():
        return head
    JournalStream.objects.get_or_create(name=stream)
    return heads.get()


def _moment_after(before: datetime | None) -> datetime:
    """Now; just after `before` where this machine's clock lies behind the one that wrote then."""
    now = timezone.now()
    return now if before is None or before < now else before + timedelta(microseconds=1)


def date_new(record: Record) -> None:
    """Date a record that is about to be stored, under the lock of its chain.

    The newest of a kind counts, and which that is must not hang on whose clock is right: where the
    chain holds something later already, the record is made later than that.
    """
    record.created_at = _moment_after(_locked_head(record.journal_stream).last_entry_at)


def append_new(record: Journalled, *, actor: Person | None, entry_type: JournalType) -> None:
    """Journal a record that was dated and stored just now, with its relations and parts."""
    _append_state(_locked_head(record.journal_stream), record, actor, entry_type, changed=None)


def append_present_state(
    record: Journalled, *, actor: Person | None, entry_type: JournalType
) -> None:
    """Journal a record that was stored before entries held states."""
    head = _locked_head(record.journal_stream)
    _append_state(head, record, actor, entry_type, changed=None)


def append_change(
    record: Journalled, changed: Iterable[str], *, actor: Person | None, entry_type: JournalType
) -> None:
    """Journal a record of which these columns, relations or parts were changed just now.

    What differs from its entry before and is not among them was changed by no service.
    """
    names = names_of(type(record), changed)
    _append_state(_locked_head(record.journal_stream), record, actor, entry_type, changed=names)


def _append_state(
    head: JournalStream,
    record: Journalled,
    actor: Person | None,
    entry_type: JournalType,
    *,
    changed: list[str] | None,
) -> None:
    named = record._meta.label_lower, str(record.pk)
    _append(head, actor, entry_type, named, {"body": state_of(record), "changed": changed})
