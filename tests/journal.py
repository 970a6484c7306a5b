"""What the journal says was done, and records that were made earlier than they were."""

import hashlib
import json
from collections.abc import Callable
from datetime import UTC, datetime
from typing import Any

import rfc8785
from django.db.models import Max

from jobs.models import JournalEntry, JournalStream, Record


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
    digest = ""
    for entry in JournalEntry.objects.filter(stream=record.journal_stream).order_by("number"):
        content = json.loads(entry.text) | {"previous": digest}
        if entry.record_id == str(record.pk) and "changed" in content:
            content["body"]["created_at"] = moment.astimezone(UTC).isoformat()
        text = rfc8785.dumps(content).decode()
        digest = hashlib.sha256(text.encode()).hexdigest()
        JournalEntry.objects.filter(pk=entry.pk).update(text=text, digest=digest)
    JournalStream.objects.filter(pk=record.journal_stream).update(head=digest)
