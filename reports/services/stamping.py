"""Renewing the times on papers before what they rest on grows old (PAdES B-LTA).

A paper that was signed while its authority was away has none yet, and gets its first the same way.
Asking the authority is done outside any transaction; storing is one, under the lock of the
document's row.
"""

import hashlib
import logging
from datetime import timedelta
from typing import TYPE_CHECKING
from uuid import UUID

from django.conf import settings
from django.core.files.base import ContentFile
from django.db import transaction
from django.db.models import OuterRef, Q, Subquery
from django.utils import timezone

from jobs.journal_types import JournalType
from jobs.services.records import store_new
from reports.models import Document, TimeStamp

if TYPE_CHECKING:
    from reports.timestamping import Stamp

log = logging.getLogger(__name__)

RENEWED_AFTER = timedelta(days=365)
BEFORE_IT_ENDS = timedelta(days=90)
AT_ONCE = 50


def due_for_stamp() -> list[UUID]:
    """Papers that went to customers and are valid, without a time, or with one that is a year old
    or rests on a certificate that ends soon; those longest without first."""
    if not settings.TIMESTAMP_URL:
        return []
    newest = TimeStamp.objects.filter(document=OuterRef("pk")).order_by("-number")
    now = timezone.now()
    papers = Document.objects.current().kept().filter(kind__in=Document.MAILED)
    due = papers.annotate(
        stamped_at=Subquery(newest.values("stamped_at")[:1]),
        good_until=Subquery(newest.values("good_until")[:1]),
    ).filter(
        Q(stamped_at=None)
        | Q(stamped_at__lte=now - RENEWED_AFTER)
        | Q(good_until__lte=now + BEFORE_IT_ENDS, stamped_at__lte=now - BEFORE_IT_ENDS)
    )
    return list(due.order_by("rendered_at").values_list("pk", flat=True)[:AT_ONCE])


def stamp_due_papers() -> int:
    """Stamp what is due; returns how many. Stops at the first that fails, since the authority is
    away then, and the next run goes on."""
    stamped = 0
    for document_id in due_for_stamp():
        if not _stamp(document_id):
            break
        stamped += 1
    return stamped


def _stamp(document_id: UUID) -> bool:
    # Loaded here: only a worker stamps papers.
    from reports.timestamping import newest_stamp, with_new_stamp  # noqa: PLC0415

    document = Document.objects.get(pk=document_id)
    try:
        with document.newest_file.open("rb") as file:
            pdf = with_new_stamp(file.read())
        stamp = newest_stamp(pdf)
    except Exception:
        # Whatever it is, the paper stays as it is and the next run tries again.
        log.exception("stamping %s failed", document)
        return False
    if stamp:
        store_stamp(document=document, stamp=stamp, pdf=pdf)
    return True


@transaction.atomic
def store_stamp(*, document: Document, stamp: "Stamp", pdf: bytes = b"") -> TimeStamp | None:
    """A time on a paper; `pdf` is the paper with it where it came after the paper was issued. None
    where the paper was erased meanwhile."""
    document = Document.objects.select_for_update(no_key=True).get(pk=document.pk)
    if document.erased_at:
        return None
    record = TimeStamp(
        document=document,
        number=document.time_stamps.count() + 1,
        authority=stamp.authority,
        stamped_at=stamp.stamped_at,
        good_until=stamp.good_until,
    )
    if pdf:
        record.file.save(document.filename, ContentFile(pdf), save=False)
        record.sha256 = hashlib.sha256(pdf).hexdigest()
    return store_new(record, actor=None, entry_type=JournalType.DOCUMENT_TIME_STAMPED)
