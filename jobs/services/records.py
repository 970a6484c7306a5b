"""The two ways in which a record changes: it is stored new, or changed from a known version.

Both write the journal and run inside the transaction of the service that calls them; services of
every app go through them.
"""

from collections.abc import Iterable
from typing import Any, TypeVar

from django.utils import timezone
from django.utils.translation import gettext as _

from jobs.errors import InvalidField, VersionConflict
from jobs.journal_types import JournalType
from jobs.models import Person, Record
from jobs.services.journal import append_change, append_new, date_new

R = TypeVar("R", bound=Record)


def store_new(record: R, *, actor: Person | None, entry_type: JournalType) -> R:
    """Insert a record and journal it as `entry_type`."""
    date_new(record)
    record.save(force_insert=True)
    append_new(record, actor=actor, entry_type=entry_type)
    return record


def store_change(
    record: R,
    changes: dict[str, Any],
    *,
    expected_version: int,
    actor: Person | None,
    entry_type: JournalType,
    also_changed: Iterable[str] = (),
) -> R:
    """Change columns of a record that is still at `expected_version`, and journal it.

    `also_changed` names relations and parts that the caller changed before. Raises
    `VersionConflict` when somebody else changed it meanwhile; nothing is written then.
    """
    same_version = type(record)._default_manager.filter(pk=record.pk, version=expected_version)
    changed = same_version.update(
        **changes, version=expected_version + 1, updated_at=timezone.now()
    )
    if not changed:
        current = type(record)._default_manager.values_list("version", flat=True).get(pk=record.pk)
        raise VersionConflict(current)
    record.refresh_from_db()
    append_change(record, (*changes, *also_changed), actor=actor, entry_type=entry_type)
    return record


def refuse_taken(
    model: type[Record], column: str, value: str | None, *, besides: Record | None = None
) -> None:
    """Raises `InvalidField` when another record has this value in a column that is unique."""
    others = model._default_manager.filter(**{column: value})
    if besides:
        others = others.exclude(pk=besides.pk)
    if value is not None and others.exists():
        raise InvalidField(f"/{column}", _("{name} is taken").format(name=value))
