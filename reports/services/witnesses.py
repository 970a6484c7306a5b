"""Once a month every witness gets a letter with the newest checkpoint and the seals since the last.

A witness is somebody outside the firm who keeps what they get: an insurer, an accountant, another
firm. What has left the firm can no longer be changed with the journal.
"""

from uuid import UUID

from django.db import transaction
from django.utils import timezone

from jobs.journal_types import JournalType
from jobs.models import JournalEntry, JournalStream
from jobs.seal_log import SEALS
from jobs.services.records import store_new
from jobs.services.seals import seal_streams
from reports.models import Dispatch, JournalWitness
from reports.services.making import new_message_id


def write_to_witnesses() -> list[UUID]:
    """Put this month's letters into the outbox, for every witness who has none yet; returns the
    keys of the dispatches."""
    if not _without_letter():
        return []
    seal_streams()
    return _write()


@transaction.atomic
def _write() -> list[UUID]:
    # Of two workers, the second waits here and then finds the letters of the first.
    if not JournalStream.objects.select_for_update(no_key=True).filter(name=SEALS).first():
        return []
    newest = JournalEntry.objects.filter(stream_id=SEALS).order_by("-number").first()
    letters = [
        Dispatch(
            channel=Dispatch.Channel.WITNESS,
            recipient=address,
            entry=newest,
            message_id=new_message_id(),
            next_attempt_at=timezone.now(),
        )
        for address in _without_letter()
    ]
    for letter in letters:
        store_new(letter, actor=None, entry_type=JournalType.DISPATCH_QUEUED)
    return [letter.pk for letter in letters]


def _without_letter() -> list[str]:
    """Addresses of witnesses that this month's letter has not been written to."""
    first = timezone.localtime().replace(day=1, hour=0, minute=0, second=0, microsecond=0)
    written = Dispatch.objects.filter(channel=Dispatch.Channel.WITNESS, created_at__gte=first)
    have = set(written.values_list("recipient", flat=True))
    witnesses = JournalWitness.objects.not_ended().order_by("created_at", "id")
    return [email for email in witnesses.values_list("email", flat=True) if email not in have]
