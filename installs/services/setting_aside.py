"""Keeping what somebody recorded on site and set aside, since it could not be taken as it was."""

from collections.abc import Mapping
from typing import Any

from django.db import transaction

from installs.models import SetAside
from installs.services.sync import SentOperation
from jobs.journal_types import JournalType
from jobs.models import Job, Person
from jobs.services.records import store_new


@transaction.atomic
def set_aside(
    *, actor: Person, operation: SentOperation, body: Mapping[str, Any], job: Job | None
) -> SetAside:
    """Keep an operation with the reason why it was refused; the office sees it with its job."""
    kept = SetAside(
        id=operation.id,
        job=job,
        person=actor,
        kind=operation.kind,
        record=operation.record,
        body=dict(body),
        reason=operation.set_aside_because,
        recorded_at=operation.recorded_at,
    )
    return store_new(kept, actor=actor, entry_type=JournalType.OPERATION_SET_ASIDE)
