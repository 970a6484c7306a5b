"""Whether a document is genuine and still valid, for whoever has its code."""

import hashlib
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from typing import Protocol

from django.db.models import QuerySet

from installs.models import Defect
from installs.services.handing_over import current_installations
from jobs.models import Job
from reports.models import Document

# A genuine paper is none to rely on while a critical defect of what it certifies is open.
STATUSES = ("genuine", "safety_open", "superseded", "withdrawn")


class Upload(Protocol):
    def chunks(self) -> Iterable[bytes]: ...


@dataclass(frozen=True, slots=True)
class SafetyMatter:
    """A critical defect that is open: number of its opening, and since when. What it is the firm
    says to those whose doorset it is."""

    opening: int
    reported_at: datetime


@dataclass(frozen=True, slots=True)
class Verified:
    """`status` is one of `STATUSES`."""

    status: str
    safety_matters: list[SafetyMatter]


def find_document(code: str) -> Document | None:
    """The document that carries this code, once it has been made; None for every other code."""
    made = Document.objects.made().select_related("job")
    return made.filter(verification_code=code).first()


def open_safety_matters(job: Job) -> QuerySet[Defect]:
    """Critical defects of what is fitted now that nobody has closed."""
    fitted = current_installations(job).values("pk")
    of_job = Defect.objects.open().filter(installation__in=fitted)
    critical = of_job.filter(severity=Defect.Severity.CRITICAL)
    return critical.select_related("installation__doorset__opening").order_by("created_at", "id")


def verified(document: Document) -> Verified:
    """What whoever has the paper is told of it."""
    certifies = document.kind == Document.Kind.COMPLETION_CERTIFICATE
    matters = open_safety_matters(document.job) if certifies else ()
    of_safety = [
        SafetyMatter(matter.installation.doorset.opening.number, matter.created_at)
        for matter in matters
    ]
    genuine = document.status == Document.Status.GENUINE
    return Verified("safety_open" if genuine and of_safety else document.status, of_safety)


def sha256_of(upload: Upload) -> str:
    """SHA-256 of an uploaded file as hexadecimal, read piece by piece."""
    digest = hashlib.sha256()
    for chunk in upload.chunks():
        digest.update(chunk)
    return digest.hexdigest()
