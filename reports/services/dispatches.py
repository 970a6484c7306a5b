"""Sending a letter once more when somebody asks for it, and recording that one came back."""

from django.db import transaction
from django.utils import timezone

from jobs.errors import Conflict, named
from jobs.journal_types import JournalType
from jobs.models import Person
from jobs.services.records import store_change
from reports.bounces import Bounce
from reports.models import Dispatch, Document
from reports.outbox import DELIVER, run_after_commit
from reports.services.making import new_message_id


@transaction.atomic
def resend(*, actor: Person, dispatch: Dispatch, expected_version: int) -> Dispatch:
    """Put a letter that was sent, given up or came back into the outbox again.

    It goes to the customer's address of today, and is a new message on purpose, so it gets a new
    Message-ID. Raises `Conflict` while it still waits, when its paper no longer stands, when the
    customer was erased, and for a webhook, whose receiver reads the API instead.
    """
    document = dispatch.document
    if document is None:
        raise Conflict(
            "a webhook is not sent again; its receiver can read the API", named(dispatch)
        )
    if dispatch.state == Dispatch.State.WAITING:
        raise Conflict("the message is still in the outbox", named(dispatch))
    if document.erased_at:
        raise Conflict("the customer was erased", named(document))
    if document.status != Document.Status.GENUINE:
        raise Conflict(f"{document} is {document.status}", named(document))
    changes = {
        "recipient": document.job.customer.email,
        "message_id": new_message_id(),
        "state": Dispatch.State.WAITING,
        "attempts": 0,
        "next_attempt_at": timezone.now(),
        "outcome": "",
    }
    store_change(
        dispatch,
        changes,
        expected_version=expected_version,
        actor=actor,
        entry_type=JournalType.DISPATCH_REQUEUED,
    )
    run_after_commit(DELIVER, dispatch.pk)
    return dispatch


@transaction.atomic
def record_bounce(*, bounce: Bounce) -> Dispatch | None:
    """Note that a letter which the mail server had accepted came back.

    Returns the letter; None where none of ours is meant, or where it went out again since.
    """
    letters = Dispatch.objects.select_for_update(no_key=True, of=("self",))
    letter = letters.filter(channel="email", message_id=bounce.message_id, attempts__gt=0).first()
    if letter is None or letter.state == Dispatch.State.BOUNCED:
        return letter
    changes = {"state": Dispatch.State.BOUNCED, "next_attempt_at": None, "outcome": bounce.words}
    return store_change(
        letter,
        changes,
        expected_version=letter.version,
        actor=None,
        entry_type=JournalType.LETTER_BOUNCED,
    )
