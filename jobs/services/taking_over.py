"""A journal that was begun before its entries held the whole state of records."""

from collections.abc import Iterator

from django.db import transaction

from jobs.journal_types import JournalType
from jobs.models import JournalEntry, Journalled
from jobs.services.journal import append_present_state
from jobs.services.record_check import entries_of, in_batches
from jobs.services.states import journalled_models

AT_ONCE = 200


def take_over_records() -> int:
    """Journal the state of every record that has entries and none with its state; returns how many.

    From there on it is compared with the journal. A row that the journal says nothing of at all is
    not taken over, nor one whose state it knows.
    """
    return sum(_take_over(record) for model in journalled_models() for record in _stateless(model))


def _stateless(model: type[Journalled]) -> Iterator[Journalled]:
    for records in in_batches(model._base_manager.order_by("pk").iterator(), AT_ONCE):
        keys = [str(record.pk) for record in records]
        named = JournalEntry.objects.filter(
            record_kind=model._meta.label_lower, record_id__in=keys
        ).values_list("record_id", flat=True)
        wanted = set(named) - entries_of(model, keys).keys()
        yield from (record for record in records if str(record.pk) in wanted)


@transaction.atomic
def _take_over(record: Journalled) -> int:
    append_present_state(record, actor=None, entry_type=JournalType.RECORD_TAKEN_OVER)
    return 1
