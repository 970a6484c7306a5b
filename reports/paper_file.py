"""The PDF of a paper, as it is given out everywhere."""

from django.http import FileResponse

from jobs.files import kept_file
from reports.models import Document


def paper_file(document: Document) -> FileResponse:
    return kept_file(
        document.file, name=document.filename, media_type="application/pdf", to_keep=True
    )
