"""Certificates that are asked for with a record of our own, of one small doorset."""

from typing import Any

import rfc8785
from django.db import transaction

from jobs.journal_types import JournalType
from jobs.models import Job, JournalStream, Person
from jobs.seal_log import latest_seal
from jobs.services.records import store_new
from jobs.services.seals import seal_streams
from reports.models import Document
from reports.services.making import end_of_head_start
from reports.signing_key import signing_certificates
from tests.reports.records import certificate_facts, doorset


@transaction.atomic
def asked_certificate(
    office: Person,
    job: Job,
    kind: str = Document.Kind.COMPLETION_CERTIFICATE,
    **changes: Any,
) -> Document:
    """The next edition for a job, not made yet."""
    changes.setdefault("number", f"{job.reference}-C")
    facts = certificate_facts(doorset(1, "Side return", "2-2-0", 1800, 2100), **changes)
    document = Document(
        job=job,
        kind=kind,
        number=f"{job.reference}-C",
        edition=job.documents.count() + 1,
        record=rfc8785.dumps(facts).decode(),
        next_attempt_at=end_of_head_start(),
    )
    return store_new(document, actor=office, entry_type=JournalType.DOCUMENT_REQUESTED)


def provable_certificate(office: Person, job: Job, **changes: Any) -> Document:
    """One whose record says of the journal and of the key what is true, as a service would."""
    seal_streams()
    stream, seal = JournalStream.objects.get(name=job.journal_stream), latest_seal()
    journal = {
        "entries": stream.length,
        "head": stream.head,
        "seal_root": seal.root,
        "checkpoint": seal.checkpoint,
        "checkpoint_key": seal.key,
        "signing_certificates": list(signing_certificates()),
    }
    return asked_certificate(office, job, journal=journal, **changes)
