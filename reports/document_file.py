"""The PDF of a document, as every download sends it."""

from django.http import FileResponse

from jobs.files import kept_file
from reports.models import Document


def document_file(document: Document) -> FileResponse:
    return kept_file(
        document.newest_file, name=document.filename, media_type="application/pdf", to_keep=True
    )
