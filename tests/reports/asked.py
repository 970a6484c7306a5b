"""Certificates that are asked for with a record of our own, of one small doorset."""

from typing import Any

import rfc8785
from django.db import transaction

from jobs.journal_types import JournalType
from jobs.models import Job, Person
from jobs.services.records import store_new
from reports.models import Document
from reports.services.making import end_of_head_start
from tests.reports.records import certificate_facts, doorset


@transaction.atomic
def asked_certificate(office: Person, job: Job, **changes: Any) -> Document:
    """The next edition for a job, not made yet."""
    facts = certificate_facts(
        doorset(1, "Side return", "2-2-0", 1800, 2100), number=f"{job.reference}-C", **changes
    )
    document = Document(
        job=job,
        kind=Document.Kind.COMPLETION_CERTIFICATE,
        number=f"{job.reference}-C",
        edition=job.documents.count() + 1,
        record=rfc8785.dumps(facts).decode(),
        next_attempt_at=end_of_head_start(),
    )
    return store_new(document, actor=office, entry_type=JournalType.DOCUMENT_REQUESTED)
