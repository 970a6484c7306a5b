"""Keeping what somebody recorded on site and set aside, since it could not be taken as it was."""

from collections.abc import Iterable, Mapping
from contextlib import suppress
from typing import Any

from django.core.exceptions import ValidationError
from django.db import transaction

from installs.models import Defect, Installation, PlanStep, SetAside
from installs.services.sync import SentOperation
from jobs.idempotency import IdempotencyKey
from jobs.journal_types import JournalType
from jobs.models import Job, Opening, Person
from jobs.services.phone_clock import PhoneTime
from jobs.services.records import store_new
from surveys.models import Survey
from surveys.services.photos import read_photo, store_with_picture

# What a body on site names a job by, and of which model that is.
NAMED_MODELS: Mapping[str, Any] = {
    "job": Job,
    "installation": Installation,
    "step": PlanStep,
    "defect": Defect,
    "opening": Opening,
    "survey": Survey,
}
LONGEST_REASON = 500


@transaction.atomic
def set_aside(
    *,
    actor: Person,
    operation: SentOperation,
    body: Mapping[str, Any],
    job: Job | None,
    because: str,
) -> SetAside:
    """Keep an operation with the reason why it was refused; the office sees it with its job."""
    kept = SetAside(
        id=operation.id,
        job=job,
        person=actor,
        kind=operation.kind,
        record=operation.record,
        body=dict(body),
        reason=because[:LONGEST_REASON],
        recorded_at=operation.recorded_at,
    )
    return store_new(kept, actor=actor, entry_type=JournalType.OPERATION_SET_ASIDE)


def set_photo_aside(
    *,
    actor: Person,
    idempotency_key: IdempotencyKey,
    content: bytes,
    said: Mapping[str, Any],
    time: PhoneTime,
    because: str,
) -> SetAside:
    """Keep a photograph that was refused, with what was `said` of it; the office sees it with its
    job. Raises `InvalidField` at /image for a file that is no picture, or too large a one."""
    clean = read_photo(content)
    kept = SetAside(
        id=idempotency_key.id,
        creation_digest=idempotency_key.digest,
        job=job_of_named(actor, [(model, said.get(name)) for name, model in NAMED_MODELS.items()]),
        person=actor,
        kind=SetAside.PHOTO,
        record=idempotency_key.id,
        body=dict(said),
        reason=because[:LONGEST_REASON],
        recorded_at=time.recorded_at,
        sha256=clean.sha256,
    )
    return store_with_picture(
        kept,
        clean,
        lambda: store_new(kept, actor=actor, entry_type=JournalType.OPERATION_SET_ASIDE),
    )


def job_of_named(person: Person, named: Iterable[tuple[Any, Any]]) -> Job | None:
    """The job of the first of these, models with ids, that the person sees."""
    for model, identifier in named:
        visible = model.objects.visible_to(person)
        with suppress(ValidationError, ValueError, TypeError):
            if identifier and (record := visible.filter(pk=identifier).first()):
                return Job.objects.get(pk=record.journal_stream.removeprefix("job:"))
    return None
