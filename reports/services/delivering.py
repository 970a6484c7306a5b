"""Sending what the outbox holds.

An attempt is written before it is made and its outcome after. A worker that dies in between leaves
the question whether the server took the message; we then send it again under the same Message-ID,
because a customer without the certificate is worse off than one who receives it twice.
"""

import logging
import smtplib
from datetime import timedelta
from uuid import UUID

from django.db import transaction
from django.utils import timezone

from jobs.services.records import store_change
from reports.mail import message_of
from reports.models import Dispatch, DispatchAttempt
from reports.services.patience import wait_after

log = logging.getLogger(__name__)

# Longer than a mail server may take to answer, so that nobody else starts meanwhile.
ATTEMPT_LASTS = timedelta(minutes=5)
MOST_ATTEMPTS = 12
# From this code on a refusal is final (RFC 5321, 4.2.1).
REFUSED_FOR_GOOD = 500
SWEPT_AT_ONCE = 200


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
        message_of(attempt.dispatch).send()
    except Exception as fault:
        # A mail server can fail in many ways; every one leaves the message in the outbox.
        log.warning("sending %s failed: %s", attempt.dispatch, _in_words(fault))
        _finish_failed(attempt, fault)
    else:
        _finish_sent(attempt)


@transaction.atomic
def _begin(dispatch_id: str) -> DispatchAttempt | None:
    """Write the attempt and move the next one out of the way of everybody else."""
    now = timezone.now()
    due = Dispatch.objects.select_for_update(skip_locked=True, of=("self",)).filter(
        pk=dispatch_id, state=Dispatch.State.WAITING, next_attempt_at__lte=now
    )
    dispatch = due.select_related("document__job").first()
    if dispatch is None:
        return None
    if dispatch.document.standing != "genuine":
        _close(dispatch, Dispatch.State.FAILED, f"not sent: {dispatch.document.standing}")
        return None
    attempts = dispatch.attempts + 1
    changes = {"attempts": attempts, "next_attempt_at": now + ATTEMPT_LASTS}
    store_change(
        dispatch,
        changes,
        expected_version=dispatch.version,
        actor=None,
        verb="begin to send",
    )
    return DispatchAttempt.objects.create(
        dispatch=dispatch, message_id=dispatch.message_id, started_at=now
    )


@transaction.atomic
def _finish_sent(attempt: DispatchAttempt) -> None:
    dispatch = _finish(attempt, "accepted by the mail server")
    _close(dispatch, Dispatch.State.SENT, "accepted by the mail server")


@transaction.atomic
def _finish_failed(attempt: DispatchAttempt, fault: Exception) -> None:
    words = _in_words(fault)
    dispatch = _finish(attempt, words)
    if dispatch.state != Dispatch.State.WAITING:
        return
    if _is_final(fault) or dispatch.attempts >= MOST_ATTEMPTS:
        _close(dispatch, Dispatch.State.FAILED, words)
        return
    changes = {
        "next_attempt_at": timezone.now() + wait_after(dispatch.attempts),
        "outcome": words,
    }
    store_change(
        dispatch, changes, expected_version=dispatch.version, actor=None, verb="fail to send"
    )


def _finish(attempt: DispatchAttempt, outcome: str) -> Dispatch:
    attempt.finished_at, attempt.outcome = timezone.now(), outcome
    attempt.save(update_fields=["finished_at", "outcome"])
    return Dispatch.objects.select_for_update(of=("self",)).get(pk=attempt.dispatch_id)


def _close(dispatch: Dispatch, state: str, outcome: str) -> None:
    changes = {"state": state, "next_attempt_at": None, "outcome": outcome}
    store_change(
        dispatch, changes, expected_version=dispatch.version, actor=None, verb=f"end as {state}"
    )


def _is_final(fault: Exception) -> bool:
    """The server refused the address itself, and will again."""
    if not isinstance(fault, smtplib.SMTPRecipientsRefused):
        return False
    return all(code >= REFUSED_FOR_GOOD for code, _ in fault.recipients.values())


def _in_words(fault: Exception) -> str:
    """What went wrong, without the address it was for."""
    if isinstance(fault, smtplib.SMTPRecipientsRefused):
        codes = sorted({str(code) for code, _ in fault.recipients.values()})
        return f"the mail server refused the address ({', '.join(codes)})"
    if isinstance(fault, smtplib.SMTPResponseException):
        return f"the mail server answered {fault.smtp_code}"
    return f"the mail server could not be used ({type(fault).__name__})"
