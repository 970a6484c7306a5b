"""Times that an authority outside the firm vouches for, on papers."""

from django.db import models
from django.db.models import Q

from jobs.models import OfJobQuerySet, Record
from reports.models.documents import Document, paper_storage


def stamped_path(stamp: "TimeStamp", filename: str) -> str:
    """Beside the paper as it was issued."""
    return f"papers/{stamp.document.number}/{stamp.document_id}-{stamp.number}.pdf"


class TimeStampQuerySet(OfJobQuerySet["TimeStamp"]):
    path_to_job = "document__job"


class TimeStamp(Record):
    """One time on a document. The one that its signature carries is in the file as it was issued;
    each later one makes a file that begins with all of the one before, and has a `file` and a
    `sha256` of its own. `good_until` is how long the authority's certificate is valid."""

    document = models.ForeignKey(Document, on_delete=models.PROTECT, related_name="time_stamps")
    number = models.PositiveSmallIntegerField()
    authority = models.CharField(max_length=200)
    stamped_at = models.DateTimeField()
    good_until = models.DateTimeField()
    file = models.FileField(upload_to=stamped_path, storage=paper_storage, blank=True)
    sha256 = models.CharField(max_length=64, blank=True)

    objects = TimeStampQuerySet.as_manager()

    class Meta(Record.Meta):
        constraints = (
            models.UniqueConstraint(
                fields=("document", "number"), name="time_stamps_of_a_document_are_numbered"
            ),
            models.CheckConstraint(
                condition=Q(file="") | ~Q(sha256=""), name="stamped_file_has_its_sha256"
            ),
        )

    def __str__(self) -> str:
        return f"{self.document} T{self.number}"

    @property
    def journal_stream(self) -> str:
        return self.document.journal_stream
