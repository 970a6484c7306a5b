from typing import Any

import pytest

from jobs.models import Job, Person
from reports.models import Document
from reports.services.making import store_paper
from tests import factories
from tests.reports.asked import asked_certificate
from tests.reports.long_job import long_job
from tests.reports.papers import OF_LONG_JOB, Paper, paper_of, passing_records


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


@pytest.fixture(scope="session")
def long_papers(django_db_setup, django_db_blocker, tmp_path_factory) -> dict[str, Paper]:
    """The papers of one long job by their kinds; each is drawn once, when a test first looks."""
    with passing_records(django_db_blocker, tmp_path_factory.mktemp("files")):
        job = long_job()
        return {kind: paper_of(job, kind) for kind in OF_LONG_JOB}


PDF = b"%PDF-1.7 a paper that was issued"


@pytest.fixture
def issued(document) -> Document:
    """A certificate that is made, of a few bytes; drawing a real one takes its time."""
    store_paper(document=document, pdf=PDF)
    return Document.objects.get(pk=document.pk)
