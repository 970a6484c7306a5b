"""Documents: what was issued, rendered from which record, and whether it is still valid."""

import json
import secrets
from typing import Any, ClassVar, Self, cast

import rfc8785
from django.core.files.storage import Storage, storages
from django.db import models
from django.db.models import Q
from django.db.models.fields.files import FieldFile
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from jobs.models import Job, OfJobQuerySet, PersonalRecord, known
from reports.papers.frozen import PAPERS
from reports.papers.frozen.job import PaperRecord


def new_verification_code() -> str:
    """128 random bits, safe in an address and short enough to be typed from paper."""
    return secrets.token_urlsafe(16)


def paper_storage() -> Storage:
    return storages["default"]


def paper_path(document: "Document", filename: str) -> str:
    """Where the file of a document is kept; nothing that a person wrote gets into the path."""
    return f"papers/{document.number}/{document.pk}.pdf"


class DocumentQuerySet(OfJobQuerySet["Document"]):
    def current(self) -> Self:
        """Neither superseded by a later edition nor withdrawn."""
        return self.filter(superseded_at=None, withdrawn_at=None)

    def made(self) -> Self:
        return self.exclude(rendered_at=None)

    def kept(self) -> Self:
        """Made, and with a file that was not erased since."""
        return self.made().filter(erased_at=None)

    def current_pack(self, job: Job) -> "Document | None":
        """The fitting pack of a job, where one is made and valid."""
        return self.filter(job=job, kind=DocumentKind.FITTING_PACK).current().kept().first()


class DocumentKind(models.TextChoices):
    SURVEY_SHEET = "survey_sheet", _("Survey sheet")
    FITTING_PACK = "fitting_pack", _("Fitting pack")
    DEFECT_REPORT = "defect_report", _("Defect report")
    COMPLETION_CERTIFICATE = "completion_certificate", _("Completion certificate")


class Document(PersonalRecord):
    """One edition of a paper of a job. It is superseded or withdrawn, never edited.

    `record` is the frozen record that the paper is drawn from, as canonical JSON (RFC 8785); it
    is built in the transaction that asks for the paper, so that the paper says what was true at
    that moment however late it is drawn. It names the customer, so the journal holds it sealed.
    `rendered_at`, `file` and `sha256` come together, once. Since `erased_at` the record says
    nothing of the customer and the file is gone; a paper in the customer's hand is still known by
    `sha256`.
    """

    Kind = DocumentKind

    # Every other kind is for the firm's own people, who fetch it.
    MAILED = (Kind.COMPLETION_CERTIFICATE,)

    class Status(models.TextChoices):
        BEING_MADE = "being_made"
        GENUINE = "genuine"
        SUPERSEDED = "superseded"
        WITHDRAWN = "withdrawn"

    job = models.ForeignKey(Job, on_delete=models.PROTECT, related_name="documents")
    kind = models.CharField(max_length=22, choices=Kind.choices)
    number = models.CharField(max_length=16, help_text="Alike for all editions.")
    edition = models.PositiveSmallIntegerField()
    record = models.TextField()
    verification_code = models.CharField(
        max_length=32, unique=True, default=new_verification_code, editable=False
    )
    making_attempts = models.PositiveSmallIntegerField(default=0)
    next_attempt_at = models.DateTimeField(
        help_text="From then on the sweep makes the paper if nothing else has."
    )
    failure = models.CharField(max_length=500, blank=True)
    rendered_at = models.DateTimeField(null=True)
    file = models.FileField(upload_to=paper_path, storage=paper_storage, blank=True)
    sha256 = models.CharField(max_length=64, blank=True)
    superseded_at = models.DateTimeField(null=True)
    withdrawn_at = models.DateTimeField(null=True)
    erased_at = models.DateTimeField(null=True)
    withdrawal_reason = models.CharField(max_length=500, blank=True)
    withdrawn_for_safety = models.BooleanField(
        default=False, help_text="What it certifies could hurt somebody."
    )

    may_change: ClassVar = (
        "making_attempts",
        "next_attempt_at",
        "failure",
        "rendered_at",
        "file",
        "sha256",
        "superseded_at",
        "withdrawn_at",
        "withdrawal_reason",
        "withdrawn_for_safety",
    )
    sealed_fields: ClassVar = ("record",)
    # When the sweep looks again says nothing of the paper.
    not_journalled: ClassVar = ("next_attempt_at",)
    objects = DocumentQuerySet.as_manager()

    class Meta(PersonalRecord.Meta):
        constraints = (
            models.UniqueConstraint(
                fields=("job", "kind", "edition"), name="document_edition_once_per_job"
            ),
            models.UniqueConstraint(
                fields=("job", "kind"),
                condition=Q(superseded_at=None, withdrawn_at=None),
                name="one_current_document_of_a_kind_per_job",
            ),
            models.CheckConstraint(
                condition=known("kind", DocumentKind),
                name="document_kind_is_known",
            ),
            models.CheckConstraint(
                condition=Q(edition__gte=1), name="document_editions_start_at_1"
            ),
            models.CheckConstraint(
                condition=Q(rendered_at=None, file="", sha256="")
                | Q(rendered_at__isnull=False) & ~Q(sha256="") & ~Q(file="")
                | Q(rendered_at__isnull=False, erased_at__isnull=False, file="") & ~Q(sha256=""),
                name="document_is_made_whole_or_not_at_all",
            ),
            models.CheckConstraint(
                condition=Q(withdrawn_at=None, withdrawal_reason="")
                | (Q(withdrawn_at__isnull=False) & ~Q(withdrawal_reason="")),
                name="document_is_withdrawn_with_a_reason",
            ),
        )

    def __str__(self) -> str:
        return f"{self.number} edition {self.edition}"

    @property
    def journal_stream(self) -> str:
        return self.job.journal_stream

    @property
    def facts(self) -> dict[str, Any]:
        """The frozen record as plain JSON of its newest format, as the API answers it."""
        return PAPERS[self.kind].upgraded(json.loads(self.record))

    @property
    def paper_record(self) -> PaperRecord:
        """The frozen record, read as its newest format."""
        return cast(PaperRecord, PAPERS[self.kind].read(json.loads(self.record)))

    def freeze(self, record: PaperRecord) -> None:
        """Take over a record, with the number of its format."""
        self.record = rfc8785.dumps(PAPERS[self.kind].write(record)).decode()

    @property
    def status(self) -> "Document.Status":
        """Withdrawal outweighs everything else."""
        if self.withdrawn_at:
            return self.Status.WITHDRAWN
        if self.superseded_at:
            return self.Status.SUPERSEDED
        return self.Status.GENUINE if self.rendered_at else self.Status.BEING_MADE

    @property
    def newest_file(self) -> FieldFile:
        """The file as it was issued, or with the newest time stamp behind it."""
        stamped = self.time_stamps.exclude(file="").order_by("number").last()
        return stamped.file if stamped else self.file

    @property
    def filename(self) -> str:
        return f"{self.number}-{self.edition}.pdf"

    @property
    def title(self) -> str:
        return str(self.get_kind_display())

    @property
    def label(self) -> str:
        """As its number and edition are written for people."""
        label = gettext("{number} edition {edition}")
        return label.format(number=self.number, edition=self.edition)
