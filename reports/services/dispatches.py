"""Sending a paper once more when somebody asks for it."""

from django.db import transaction
from django.utils import timezone

from jobs.models import Person
from jobs.refusals import Conflict, named
from jobs.services.records import store_change
from reports.models import Dispatch, Document
from reports.services.making import new_message_id
from reports.tasks import deliver


@transaction.atomic
def resend(*, actor: Person, dispatch: Dispatch, expected_version: int) -> Dispatch:
    """Put a message that was sent or given up back into the outbox.

    It goes to the customer's address of today, and is a new message on purpose, so it gets a new
    Message-ID. Raises `Conflict` while it still waits, and when its paper no longer stands.
    """
    document = dispatch.document
    if dispatch.state == Dispatch.State.WAITING:
        raise Conflict("the message is still in the outbox", named(dispatch))
    if document.standing != Document.Standing.GENUINE:
        raise Conflict(f"{document} is {document.standing}", named(document))
    changes = {
        "recipient": document.job.customer.email,
        "message_id": new_message_id(),
        "state": Dispatch.State.WAITING,
        "attempts": 0,
        "next_attempt_at": timezone.now(),
        "outcome": "",
    }
    store_change(
        dispatch, changes, expected_version=expected_version, actor=actor, verb="send again"
    )
    transaction.on_commit(lambda: deliver.delay(str(dispatch.pk)), robust=True)
    return dispatch
