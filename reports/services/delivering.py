"""Sending what the outbox holds.

An attempt is written before it is made and its outcome after. A worker that dies in between leaves
the question whether the server took the message; we then send it again under the same Message-ID,
because a customer without the certificate is worse off than one who receives it twice.
"""

import logging
from collections.abc import Callable
from datetime import timedelta
from uuid import UUID

from django.db import transaction
from django.utils import timezone

from jobs.journal_types import JournalType
from jobs.sentences import Sentence, StoredSentence, sentence
from jobs.services.records import store_change
from reports.errors import DeliveryFailed
from reports.mail import send_email
from reports.models import Dispatch, DispatchAttempt, JournalWitness
from reports.services.backoff import wait_after
from reports.services.webhooks import switch_off
from reports.webhooks import send_webhook
from reports.witness_mail import send_to_witness

log = logging.getLogger(__name__)

# Longer than a mail server may take to answer, so that nobody else starts meanwhile.
ATTEMPT_LASTS = timedelta(minutes=5)
MOST_ATTEMPTS = 12
SWEPT_AT_ONCE = 200
NOT_SENT = StoredSentence("it could not be sent ({error})")
CLOSED_AS: dict[tuple[str, str], JournalType] = {
    (Dispatch.Channel.EMAIL, Dispatch.State.SENT): JournalType.LETTER_ACCEPTED,
    (Dispatch.Channel.EMAIL, Dispatch.State.FAILED): JournalType.LETTER_FAILED,
    (Dispatch.Channel.WITNESS, Dispatch.State.SENT): JournalType.LETTER_ACCEPTED,
    (Dispatch.Channel.WITNESS, Dispatch.State.FAILED): JournalType.LETTER_FAILED,
    (Dispatch.Channel.WEBHOOK, Dispatch.State.SENT): JournalType.WEBHOOK_ACCEPTED,
    (Dispatch.Channel.WEBHOOK, Dispatch.State.FAILED): JournalType.WEBHOOK_FAILED,
}
CARRIERS: dict[str, Callable[[Dispatch], str]] = {
    Dispatch.Channel.EMAIL: send_email,
    Dispatch.Channel.WEBHOOK: send_webhook,
    Dispatch.Channel.WITNESS: send_to_witness,
}


def due_dispatches() -> list[UUID]:
    """Messages that wait and are due; those waiting longest first."""
    due = Dispatch.objects.filter(state=Dispatch.State.WAITING, next_attempt_at__lte=timezone.now())
    return list(due.order_by("next_attempt_at").values_list("pk", flat=True)[:SWEPT_AT_ONCE])


def deliver(*, dispatch_id: str) -> None:
    """Send one message that is due; nothing when it is not, or when somebody else is at it."""
    attempt = _begin(dispatch_id)
    if attempt is None:
        return
    try:
        outcome = CARRIERS[attempt.dispatch.channel](attempt.dispatch)
    except DeliveryFailed as refusal:
        log.warning("sending %s failed: %s", attempt.dispatch_id, refusal.reason)
        _finish_failed(attempt, refusal)
    except Exception as fault:
        # Whatever it is, such as storage that is away, the message stays in the outbox.
        log.exception("sending %s failed", attempt.dispatch_id)
        _finish_failed(attempt, DeliveryFailed(NOT_SENT(error=type(fault).__name__)))
    else:
        _finish_sent(attempt, outcome)


@transaction.atomic
def _begin(dispatch_id: str) -> DispatchAttempt | None:
    """Write the attempt and move the next one out of the way of everybody else."""
    now = timezone.now()
    due = Dispatch.objects.select_for_update(skip_locked=True, of=("self",)).filter(
        pk=dispatch_id, state=Dispatch.State.WAITING, next_attempt_at__lte=now
    )
    dispatch = due.select_related("document__job__customer", "endpoint").first()
    if dispatch is None:
        return None
    if reason := _no_longer_wanted(dispatch):
        _close(dispatch, Dispatch.State.FAILED, reason)
        return None
    attempts = dispatch.attempts + 1
    changes = {"attempts": attempts, "next_attempt_at": now + ATTEMPT_LASTS}
    store_change(
        dispatch,
        changes,
        expected_version=dispatch.version,
        actor=None,
        entry_type=JournalType.DISPATCH_STARTED,
    )
    return DispatchAttempt.objects.create(
        dispatch=dispatch, message_id=dispatch.message_id, started_at=now
    )


def _no_longer_wanted(dispatch: Dispatch) -> Sentence | None:
    document, endpoint = dispatch.document, dispatch.endpoint
    if document and document.erased_at:
        return sentence("not sent: the customer was erased")
    if document and document.withdrawn_at:
        return sentence("not sent: withdrawn")
    if document and document.superseded_at:
        return sentence("not sent: superseded")
    if endpoint and not endpoint.active:
        return sentence("not sent: the endpoint is switched off")
    if dispatch.channel == Dispatch.Channel.WITNESS and not _is_witness(dispatch.recipient):
        return sentence("not sent: this witness was ended")
    return None


def _is_witness(address: str) -> bool:
    return JournalWitness.objects.not_ended().filter(email=address).exists()


@transaction.atomic
def _finish_sent(attempt: DispatchAttempt, outcome: str) -> None:
    dispatch = _finish(attempt, outcome)
    _close(dispatch, Dispatch.State.SENT, outcome)


@transaction.atomic
def _finish_failed(attempt: DispatchAttempt, refusal: DeliveryFailed) -> None:
    dispatch = _finish(attempt, refusal.reason)
    if dispatch.state != Dispatch.State.WAITING:
        return
    if refusal.gone and dispatch.endpoint:
        switch_off(dispatch.endpoint)
    if refusal.final or dispatch.attempts >= MOST_ATTEMPTS:
        _close(dispatch, Dispatch.State.FAILED, refusal.reason)
        return
    changes = {
        "next_attempt_at": timezone.now() + wait_after(dispatch.attempts),
        "outcome": refusal.reason,
    }
    store_change(
        dispatch,
        changes,
        expected_version=dispatch.version,
        actor=None,
        entry_type=JournalType.DISPATCH_POSTPONED,
    )


def _finish(attempt: DispatchAttempt, outcome: str) -> Dispatch:
    attempt.finished_at, attempt.outcome = timezone.now(), outcome
    attempt.save(update_fields=["finished_at", "outcome"])
    return Dispatch.objects.select_for_update(of=("self",)).get(pk=attempt.dispatch_id)


def _close(dispatch: Dispatch, state: str, outcome: str) -> None:
    changes = {"state": state, "next_attempt_at": None, "outcome": outcome}
    store_change(
        dispatch,
        changes,
        expected_version=dispatch.version,
        actor=None,
        entry_type=CLOSED_AS[dispatch.channel, state],
    )
