"""Whether the file of a paper is the one that was made: held against the chain before it leaves."""

from jobs.errors import ContradictsJournal
from jobs.services.journal_check import flaw_of_chain
from jobs.services.record_check import require_agreement
from reports.models import Document, TimeStamp


def require_genuine(document: Document) -> None:
    """Raises `ContradictsJournal` where the row or the file of a paper, or of its later times, is
    not what the chain of its job says, and where that chain itself does not hold."""
    stream = document.journal_stream
    if flaw := flaw_of_chain(stream):
        raise ContradictsJournal([f"{stream} {flaw.number}"])
    require_agreement(Document, [str(document.pk)])
    stamps = TimeStamp.objects.filter(document=document).values_list("pk", flat=True)
    require_agreement(TimeStamp, [str(key) for key in stamps])
