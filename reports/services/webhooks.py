"""Endpoints of other programs, and queueing the journal entries that they subscribed to."""

from typing import Any
from uuid import UUID

from django.db import transaction
from django.db.models import Max, QuerySet
from django.utils import timezone

from jobs.errors import InvalidField
from jobs.idempotency import IdempotencyKey
from jobs.journal_types import JournalType
from jobs.models import Job, JournalEntry, Person
from jobs.services.records import store_change, store_new
from reports.events import event_body
from reports.models import Dispatch, WebhookEndpoint
from reports.services.backoff import TRANSACTION_LASTS
from reports.webhooks import new_secret, unusable_address

READ_AT_ONCE = 500


@transaction.atomic
def add_endpoint(
    *, actor: Person, idempotency_key: IdempotencyKey, address: str, event_types: list[str]
) -> WebhookEndpoint:
    """An endpoint that receives what happens from now on. Raises `InvalidField`."""
    _refuse_unusable(address)
    newest = JournalEntry.objects.aggregate(newest=Max("pk"))["newest"]
    endpoint = WebhookEndpoint(
        **idempotency_key.columns,
        address=address,
        event_types=sorted(set(event_types)),
        secret=new_secret(),
        read_to=newest or 0,
    )
    return store_new(endpoint, actor=actor, entry_type=JournalType.WEBHOOK_ENDPOINT_ADDED)


@transaction.atomic
def change_endpoint(
    *, actor: Person, endpoint: WebhookEndpoint, expected_version: int, **changes: Any
) -> WebhookEndpoint:
    """Change its address, its event types, or whether it is active."""
    if "address" in changes:
        _refuse_unusable(changes["address"])
    return store_change(
        endpoint,
        changes,
        expected_version=expected_version,
        actor=actor,
        entry_type=JournalType.WEBHOOK_ENDPOINT_CHANGED,
    )


def _refuse_unusable(address: str) -> None:
    if message := unusable_address(address):
        raise InvalidField("/address", message)


@transaction.atomic
def switch_off(endpoint: WebhookEndpoint) -> None:
    """For a receiver that asked never to be called again."""
    if endpoint.active:
        store_change(
            endpoint,
            {"active": False},
            expected_version=endpoint.version,
            actor=None,
            entry_type=JournalType.WEBHOOK_ENDPOINT_SWITCHED_OFF,
        )


def read_events() -> list[UUID]:
    """Put what happened since the last time into the outbox, for every endpoint that wants it.

    Returns the keys of the dispatches.
    """
    endpoints = WebhookEndpoint.objects.filter(active=True).values_list("pk", flat=True)
    return [dispatch for endpoint in endpoints for dispatch in _read_for(endpoint)]


@transaction.atomic
def _read_for(key: UUID) -> list[UUID]:
    """Under the lock of the endpoint's row, so that two sweeps do not read at once."""
    endpoint = (
        WebhookEndpoint.objects.select_for_update(skip_locked=True).filter(pk=key, active=True)
    ).first()
    if endpoint is None:
        return []
    entries = list(_unread(endpoint)[:READ_AT_ONCE])
    references = _references(entries)
    dispatches = [
        _put_into_outbox(endpoint, entry, references[entry.stream_id]) for entry in entries
    ]
    # Where more wait, what was read is known by its dispatches, and the mark stays.
    if len(entries) < READ_AT_ONCE:
        _move_mark(endpoint)
    return dispatches


def _unread(endpoint: WebhookEndpoint) -> QuerySet[JournalEntry]:
    """Entries of jobs that the endpoint wants and has no dispatch of, oldest first."""
    queued = Dispatch.objects.filter(endpoint=endpoint).values("entry")
    return (
        JournalEntry.objects.filter(
            type__in=endpoint.wanted, pk__gt=endpoint.read_to, stream__name__startswith="job:"
        )
        .exclude(pk__in=queued)
        .order_by("pk")
    )


def _move_mark(endpoint: WebhookEndpoint) -> None:
    """Up to the newest entry that no running transaction can still slip in before.

    Entries get their numbers before they are committed, so a later one may be seen first.
    """
    settled = JournalEntry.objects.filter(
        pk__gt=endpoint.read_to, created_at__lt=timezone.now() - TRANSACTION_LASTS
    ).aggregate(newest=Max("pk"))["newest"]
    if settled:
        # A mark is no change of the record: it only says where reading goes on.
        WebhookEndpoint.objects.filter(pk=endpoint.pk).update(read_to=settled)


def _references(entries: list[JournalEntry]) -> dict[str, str]:
    keys = {entry.stream_id.removeprefix("job:") for entry in entries}
    jobs = Job.objects.filter(pk__in=keys)
    return {job.journal_stream: job.reference for job in jobs}


def _put_into_outbox(endpoint: WebhookEndpoint, entry: JournalEntry, reference: str) -> UUID:
    dispatch = Dispatch(
        channel=Dispatch.Channel.WEBHOOK,
        endpoint=endpoint,
        entry=entry,
        body=event_body(entry, reference),
        message_id=f"msg_{endpoint.pk.hex}_{entry.digest[:32]}",
        next_attempt_at=timezone.now(),
    )
    return store_new(dispatch, actor=None, entry_type=JournalType.DISPATCH_QUEUED).pk
