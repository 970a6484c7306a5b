"""Sending a document by e-mail once more when somebody asks for it, and recording bounces."""

from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from jobs.code_labels import code_label
from jobs.errors import Conflict, named
from jobs.journal_types import JournalType
from jobs.models import Person
from jobs.services.records import store_change
from reports.bounces import Bounce
from reports.models import Dispatch, Document
from reports.outbox import DELIVER, run_after_commit
from reports.services.making import new_message_id

LETTERS = (Dispatch.Channel.EMAIL, Dispatch.Channel.WITNESS)


@transaction.atomic
def resend(*, actor: Person, dispatch: Dispatch, expected_version: int) -> Dispatch:
    """Put an e-mail that was sent, failed or bounced into the outbox again.

    It goes to the customer's address of today, and is a new message on purpose, so it gets a new
    Message-ID. Raises `Conflict` while it still waits, when its document is no longer valid, when
    the customer was erased, and for what carries no document: the receiver of a webhook reads the
    API instead, and a witness hears again next month.
    """
    document = dispatch.document
    if document is None:
        raise Conflict(_("only letters with a paper are sent again"), named(dispatch))
    if dispatch.state == Dispatch.State.WAITING:
        raise Conflict(_("the message is still in the outbox"), named(dispatch))
    if document.erased_at:
        raise Conflict(_("the customer was erased"), named(document))
    if document.status != Document.Status.GENUINE:
        message = _("{document} is {status}").format(
            document=document.label, status=code_label(document.status)
        )
        raise Conflict(message, named(document))
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
    """Note that an e-mail which the mail server had accepted came back.

    Returns its dispatch; None where it is none of ours, or where it was sent again since.
    """
    locked = Dispatch.objects.select_for_update(no_key=True, of=("self",))
    dispatch = locked.filter(
        channel__in=LETTERS, message_id=bounce.message_id, attempts__gt=0
    ).first()
    if dispatch is None or dispatch.state == Dispatch.State.BOUNCED:
        return dispatch
    changes = {"state": Dispatch.State.BOUNCED, "next_attempt_at": None, "outcome": bounce.outcome}
    return store_change(
        dispatch,
        changes,
        expected_version=dispatch.version,
        actor=None,
        entry_type=JournalType.LETTER_BOUNCED,
    )
