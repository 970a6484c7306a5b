from typing import Any

import pytest

from jobs.models import Job, Person
from reports.models import Document
from reports.services.making import store_paper
from tests import factories
from tests.reports.asked import asked_certificate


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
        return asked_certificate(office, job, **changes)

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
