from typing import Any

import pytest
import rfc8785
from django.utils import timezone

from jobs.models import Job, Person
from jobs.services.records import store_new
from reports.models import Document
from reports.services.making import HEAD_START, store_paper
from tests import factories
from tests.reports.records import certificate_facts, doorset


@pytest.fixture(autouse=True)
def _mail_folder(settings) -> None:
    """The backend of an installation without a mail server, not the test runner's own."""
    settings.EMAIL_BACKEND = "reports.mail_folder.MessageFolderBackend"


@pytest.fixture
def office() -> Person:
    return factories.person("office")


@pytest.fixture
def job(office: Person) -> Job:
    return factories.job(office)


@pytest.fixture
def ask(office: Person):
    """Ask for an edition of a job's certificate with a record of our own, of one small doorset."""

    def asked(job: Job, **changes: Any) -> Document:
        facts = certificate_facts(
            doorset(1, "Side return", "2-2-0", 1800, 2100), number=f"{job.reference}-C", **changes
        )
        document = Document(
            job=job,
            kind=Document.Kind.COMPLETION_CERTIFICATE,
            number=f"{job.reference}-C",
            edition=job.documents.count() + 1,
            record=rfc8785.dumps(facts).decode(),
            next_attempt_at=timezone.now() + HEAD_START,
        )
        return store_new(document, actor=office, verb="ask for certificate")

    return asked


@pytest.fixture
def document(ask, job) -> Document:
    """A certificate that was asked for and is not made yet."""
    return ask(job)


PDF = b"%PDF-1.7 a paper that was issued"


@pytest.fixture
def issued(document) -> Document:
    """A certificate that is made, of a few bytes; drawing a real one takes its time."""
    store_paper(document=document, pdf=PDF)
    return Document.objects.get(pk=document.pk)
