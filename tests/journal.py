"""What the journal says was done, and records that were made earlier than they were."""

import hashlib
import json
from collections.abc import Callable
from datetime import UTC, datetime
from typing import Any, TypeVar

import rfc8785
from django.db import transaction
from django.db.models import Max

from jobs.journal_types import JournalType
from jobs.models import JournalEntry, JournalStream, Record
from jobs.services.records import store_change

R = TypeVar("R", bound=Record)


def types_written_by(act: Callable[[], Any]) -> list[str]:
    """The types of the entries that something wrote, in their order."""
    newest = JournalEntry.objects.aggregate(newest=Max("pk"))["newest"] or 0
    act()
    written = JournalEntry.objects.filter(pk__gt=newest).order_by("pk")
    return list(written.values_list("type", flat=True))


def made_at(record: Record, moment: datetime) -> None:
    """Date a record that was made just now back, in its row and in the journal, whose chain is
    linked anew from there on: tests cannot wait for months."""
    type(record)._base_manager.filter(pk=record.pk).update(created_at=moment)

    def dated_back(content: dict[str, Any]) -> None:
        if "changed" in content:
            content["body"]["created_at"] = moment.astimezone(UTC).isoformat()

    rewritten(str(record.pk), dated_back)


def rewritten(record: str, change: Callable[[dict[str, Any]], None]) -> None:
    """Change the entries of a record, and link its whole chain anew from there on, as whoever holds
    the database could before the next seal."""
    stream = JournalEntry.objects.filter(record_id=record).values_list("stream", flat=True)[0]
    digest = ""
    for entry in JournalEntry.objects.filter(stream=stream).order_by("number"):
        content = json.loads(entry.text) | {"previous": digest}
        if entry.record_id == record:
            change(content)
        text = rfc8785.dumps(content).decode()
        digest = hashlib.sha256(text.encode()).hexdigest()
        JournalEntry.objects.filter(pk=entry.pk).update(text=text, digest=digest)
    JournalStream.objects.filter(pk=stream).update(head=digest)


@transaction.atomic
def changed(record: R, **changes: Any) -> R:
    """Change columns as a service would that does not look at what they say."""
    entry_type = JournalType.CUSTOMER_CHANGED
    version = type(record)._base_manager.get(pk=record.pk).version
    return store_change(
        record, changes, expected_version=version, actor=None, entry_type=entry_type
    )
