"""The PDF of a document, as every download sends it."""

import logging

from django.http import FileResponse
from prometheus_client import Counter

from jobs.errors import ContradictsJournal
from jobs.files import kept_file
from reports.genuine_files import require_genuine
from reports.models import Document

log = logging.getLogger(__name__)
HELD_BACK = Counter(
    "sillwright_papers_held_back",
    "Downloads that were refused, since the paper is not what the journal says.",
)


def document_file(document: Document) -> FileResponse:
    """Raises `ContradictsJournal` for one that is not what was made: nobody gets that."""
    try:
        require_genuine(document)
    except ContradictsJournal:
        HELD_BACK.inc()
        log.exception("paper %s is held back", document.label)
        raise
    return kept_file(
        document.newest_file, name=document.filename, media_type="application/pdf", to_keep=True
    )
