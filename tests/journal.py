"""What the journal says was done."""

from collections.abc import Callable
from typing import Any

from django.db.models import Max

from jobs.models import JournalEntry


def types_written_by(act: Callable[[], Any]) -> list[str]:
    """The types of the entries that something wrote, in their order."""
    newest = JournalEntry.objects.aggregate(newest=Max("pk"))["newest"] or 0
    act()
    written = JournalEntry.objects.filter(pk__gt=newest).order_by("pk")
    return list(written.values_list("type", flat=True))
