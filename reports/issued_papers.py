"""Whether a document is genuine and still valid, for whoever has its code."""

import hashlib
from collections.abc import Iterable
from typing import Protocol

from reports.models import Document


class Upload(Protocol):
    def chunks(self) -> Iterable[bytes]: ...


def find_document(code: str) -> Document | None:
    """The document that carries this code, once it has been made; None for every other code."""
    made = Document.objects.made().select_related("job")
    return made.filter(verification_code=code).first()


def sha256_of(upload: Upload) -> str:
    """SHA-256 of an uploaded file as hexadecimal, read piece by piece."""
    digest = hashlib.sha256()
    for chunk in upload.chunks():
        digest.update(chunk)
    return digest.hexdigest()
