"""Drawing a paper that was asked for, and putting it into the outbox.

Drawing takes a second and is done outside any transaction, from the frozen record alone, once the
entry that asks for it is sealed: every paper carries the proof of that. Storing is one transaction
under the lock of the document's row: of two workers that drew the same paper, the second stores
nothing. A worker that dies midway leaves the document due for the sweep.
"""

import hashlib
import logging
from datetime import datetime, timedelta
from typing import TYPE_CHECKING
from uuid import UUID, uuid4

from django.conf import settings
from django.core.files.base import ContentFile
from django.db import transaction
from django.utils import timezone

from jobs.journal_types import JournalType
from jobs.services.record_check import require_agreement
from jobs.services.records import store_change, store_new
from reports.models import Dispatch, Document
from reports.services.backoff import wait_after
from reports.services.proving import proof_of
from reports.services.stamping import store_stamp

if TYPE_CHECKING:
    from reports.timestamping import Stamp

log = logging.getLogger(__name__)

# The task that was announced has this long before the sweep looks after the document.
HEAD_START = timedelta(minutes=2)
SWEPT_AT_ONCE = 50


def end_of_head_start() -> datetime:
    """When the sweep looks after a document that is asked for now."""
    return timezone.now() + HEAD_START


def take_due_documents() -> list[UUID]:
    """Papers that are due and not made; those waiting longest first.

    Each gets a new head start, or every sweep would announce it again while its task waits behind
    others, and e-mails would wait behind tasks that find nothing to do.
    """
    due = Document.objects.filter(
        rendered_at=None,
        withdrawn_at=None,
        superseded_at=None,
        erased_at=None,
        next_attempt_at__lte=timezone.now(),
    )
    keys = list(due.order_by("next_attempt_at").values_list("pk", flat=True)[:SWEPT_AT_ONCE])
    # When to look again is no change of the record.
    due.filter(pk__in=keys).update(next_attempt_at=end_of_head_start())
    return keys


def make_document(*, document_id: str) -> Dispatch | None:
    """Draw the paper and store it, a certificate with the message that carries it to the customer.

    Returns the message, None where there is none. Does nothing when the paper is made already, or
    superseded, withdrawn or erased meanwhile. A fault while drawing or storing is recorded, and the
    sweep tries again later.
    """
    # Loaded here: only a worker draws papers, and what draws them takes a second to load.
    from reports.papers.paper import paper_pdf  # noqa: PLC0415
    from reports.signing import refuse_another_key, sign_paper  # noqa: PLC0415
    from reports.timestamping import newest_stamp  # noqa: PLC0415

    document = Document.objects.select_related("job__customer").get(pk=document_id)
    if (
        document.rendered_at
        or document.superseded_at
        or document.withdrawn_at
        or document.erased_at
    ):
        return None
    try:
        require_agreement(Document, [str(document.pk)])
        refuse_another_key(document.paper_record.journal)
        pdf = paper_pdf(document, proof=proof_of(document).write())
        pdf = sign_paper(pdf, reason=document.title)
        return store_paper(document=document, pdf=pdf, stamp=newest_stamp(pdf))
    except Exception as fault:
        # Whatever it is, the job must still end with its paper: keep it, and come back.
        log.exception("making %s failed", document)
        _record_failure(document, f"{type(fault).__name__}: {fault}")
        return None


@transaction.atomic
def store_paper(*, document: Document, pdf: bytes, stamp: "Stamp | None" = None) -> Dispatch | None:
    """Store a paper that was drawn, with the time that its signature carries, unless somebody else
    has; a certificate goes to the customer.

    Returns the message that carries it, where there is one.
    """
    document = Document.objects.select_for_update().get(pk=document.pk)
    if document.rendered_at or document.withdrawn_at or document.erased_at:
        return None
    document.file.save(document.filename, ContentFile(pdf), save=False)
    changes = {
        "file": document.file.name,
        "sha256": hashlib.sha256(pdf).hexdigest(),
        "rendered_at": timezone.now(),
        "making_attempts": document.making_attempts + 1,
        "failure": "",
    }
    store_change(
        document,
        changes,
        expected_version=document.version,
        actor=None,
        entry_type=JournalType.DOCUMENT_MADE,
    )
    if stamp:
        store_stamp(document=document, stamp=stamp)
    if document.superseded_at or document.kind not in Document.MAILED:
        return None
    dispatch = Dispatch(
        document=document,
        recipient=document.job.customer.email,
        message_id=new_message_id(),
        next_attempt_at=timezone.now(),
    )
    return store_new(dispatch, actor=None, entry_type=JournalType.DISPATCH_QUEUED)


@transaction.atomic
def _record_failure(drawn: Document, failure: str) -> None:
    document = Document.objects.select_for_update().get(pk=drawn.pk)
    if document.rendered_at:
        return
    attempts = document.making_attempts + 1
    changes = {
        "making_attempts": attempts,
        "failure": failure[:500],
        "next_attempt_at": timezone.now() + wait_after(attempts),
    }
    store_change(
        document,
        changes,
        expected_version=document.version,
        actor=None,
        entry_type=JournalType.DOCUMENT_FAILED,
    )


def new_message_id() -> str:
    """A Message-ID (RFC 5322) of the firm's own domain."""
    domain = settings.DEFAULT_FROM_EMAIL.rpartition("@")[2].strip(" >") or "localhost"
    return f"<{uuid4().hex}@{domain}>"
