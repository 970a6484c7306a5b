"""What the maker of the profiles gives to fitters."""

from typing import ClassVar, Self

from django.db import models
from django.db.models import Q
from django.utils.text import slugify

from installs.maker_files import JPEG, PDF
from installs.models.plan import PlanStepPhase
from jobs.capabilities import Capability
from jobs.models import Job, Person, ProfileSystem, Record, known


class MakerInstructionQuerySet(models.QuerySet["MakerInstruction"]):
    def visible_to(self, person: Person) -> Self:
        """Those of the systems of which a job that the person sees has a doorset."""
        if person.has_capability(Capability.SEE_EVERY_JOB):
            return self
        of_jobs = ProfileSystem.objects.filter(
            doorset__opening__job__in=Job.objects.visible_to(person)
        )
        return self.filter(profile_system__in=of_jobs)

    def valid(self) -> Self:
        return self.filter(withdrawn_at=None)


class MakerInstruction(Record):
    """An instruction or a picture of a profile system, from its maker; about one phase of the
    fitting, or about all of it. What is superseded is withdrawn, and stays on record.

    The file is named by its `sha256`; `size` in bytes.
    """

    profile_system = models.ForeignKey(
        ProfileSystem, on_delete=models.PROTECT, related_name="instructions"
    )
    title = models.CharField(max_length=120)
    phase = models.CharField(max_length=9, choices=PlanStepPhase.choices, blank=True)
    file = models.FileField(upload_to="instructions/%Y/%m", max_length=120)
    media_type = models.CharField(max_length=15, editable=False)
    size = models.PositiveIntegerField(editable=False)
    sha256 = models.CharField(max_length=64, editable=False)
    withdrawn_at = models.DateTimeField(null=True, editable=False)

    may_change: ClassVar = ("withdrawn_at",)
    objects = MakerInstructionQuerySet.as_manager()

    class Meta(Record.Meta):
        constraints = (
            models.CheckConstraint(
                condition=Q(phase="") | known("phase", PlanStepPhase),
                name="instruction_phase_is_known",
            ),
            models.CheckConstraint(
                condition=Q(media_type__in=(PDF, JPEG)),
                name="instruction_is_pdf_or_jpeg",
            ),
            models.UniqueConstraint(
                fields=("profile_system", "sha256"),
                condition=Q(withdrawn_at=None),
                name="valid_instruction_is_there_once",
            ),
        )

    def __str__(self) -> str:
        return self.title

    @property
    def is_pdf(self) -> bool:
        return self.media_type == PDF

    @property
    def filename(self) -> str:
        return f"{slugify(self.title) or 'instruction'}.{'pdf' if self.is_pdf else 'jpg'}"

    @property
    def megabytes(self) -> float:
        """To a tenth, and never none."""
        return max(round(self.size / 1_000_000, 1), 0.1)
