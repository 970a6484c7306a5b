"""Defects (nonconformities in the sense of ISO 9000) and concessions."""

from typing import ClassVar, Self

from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from installs.defect_places import LONGEST, place_label
from installs.models.inspections import Inspection
from installs.models.plan import Installation, OfInstallationQuerySet, PlanStep, RecordedOnSite
from jobs.code_labels import code_label
from jobs.models import Person, Record, known
from jobs.translation import translated


class DefectQuerySet(OfInstallationQuerySet):
    def open(self) -> Self:
        return self.filter(closed_at=None)


class DefectSeverity(models.TextChoices):
    CRITICAL = "critical", gettext_lazy("Critical")
    MAJOR = "major", gettext_lazy("Major")
    MINOR = "minor", gettext_lazy("Minor")


class DefectResponsible(models.TextChoices):
    """Whose work it is to put right."""

    CREW = "crew", gettext_lazy("Crew")
    MAKER = "maker", gettext_lazy("Maker")
    CARRIAGE = "carriage", gettext_lazy("Carriage")
    BUILDING = "building", gettext_lazy("the building")


class Defect(RecordedOnSite, Record):
    """Something that is not as it must be, until somebody has put it right and it was looked at."""

    Severity = DefectSeverity

    Responsible = DefectResponsible

    installation = models.ForeignKey(Installation, on_delete=models.PROTECT, related_name="defects")
    step = models.ForeignKey(PlanStep, null=True, on_delete=models.PROTECT, related_name="defects")
    inspection = models.ForeignKey(
        Inspection,
        null=True,
        on_delete=models.PROTECT,
        related_name="defects",
        help_text="Whose failure opened it; none where somebody reported it.",
    )
    # Null and not empty, as the journal has it of defects from before there were places.
    place = models.CharField(  # noqa: DJ001
        max_length=LONGEST,
        null=True,
        help_text="Where on the doorset; none where it is no one part of it.",
    )
    severity = models.CharField(max_length=8, choices=Severity.choices)
    description = models.CharField(max_length=500)
    responsible = models.CharField(
        max_length=8, choices=Responsible.choices, default=Responsible.CREW
    )
    found_by = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="+")
    put_right_by = models.ForeignKey(Person, null=True, on_delete=models.PROTECT, related_name="+")
    put_right_at = models.DateTimeField(null=True)
    put_right_how = models.CharField(max_length=500, blank=True)
    reinspected_by = models.ForeignKey(
        Person, null=True, on_delete=models.PROTECT, related_name="+"
    )
    reinspected_at = models.DateTimeField(null=True)
    reinspection_note = models.CharField(max_length=500, blank=True)
    # Where the office closed it on evidence instead of somebody on site: what it went by.
    photo_before = models.ForeignKey(
        "installs.SitePhoto", null=True, on_delete=models.PROTECT, related_name="+"
    )
    photo_after = models.ForeignKey(
        "installs.SitePhoto", null=True, on_delete=models.PROTECT, related_name="+"
    )
    read_since = models.ForeignKey(
        Inspection,
        null=True,
        on_delete=models.PROTECT,
        related_name="+",
        help_text="The record of its step that passed after it was put right.",
    )
    closed_at = models.DateTimeField(null=True)
    to_come_by = models.DateField(
        null=True, help_text="Left to come when the doorset is handed over, until this day."
    )
    to_come_promise = models.CharField(
        max_length=300, blank=True, help_text="What the customer accepts until then."
    )
    found_after = models.ForeignKey(
        "installs.Handover",
        null=True,
        on_delete=models.PROTECT,
        related_name="+",
        editable=False,
        help_text="The handover that its doorset had been part of when it was found.",
    )

    may_change: ClassVar = (
        "put_right_by",
        "put_right_at",
        "put_right_how",
        "reinspected_by",
        "reinspected_at",
        "reinspection_note",
        "photo_before",
        "photo_after",
        "read_since",
        "closed_at",
        "to_come_by",
        "to_come_promise",
    )
    objects = DefectQuerySet.as_manager()

    class Meta(Record.Meta):
        constraints = (
            models.CheckConstraint(
                condition=known("severity", DefectSeverity),
                name="defect_severity_is_known",
            ),
            models.CheckConstraint(
                condition=known("responsible", DefectResponsible),
                name="defect_responsible_is_known",
            ),
            models.CheckConstraint(
                condition=Q(closed_at=None)
                | Q(put_right_at__isnull=False, reinspected_at__isnull=False),
                name="closed_defect_was_put_right",
            ),
            models.CheckConstraint(
                condition=~Q(severity="critical")
                | Q(closed_at=None)
                | ~Q(reinspected_by=F("put_right_by")),
                name="critical_defect_needs_two_people",
            ),
            models.CheckConstraint(
                condition=Q(to_come_by=None, to_come_promise="")
                | Q(severity="minor", to_come_by__isnull=False) & ~Q(to_come_promise=""),
                name="only_a_minor_defect_is_left_to_come",
            ),
        )

    def __str__(self) -> str:
        return _("{severity} defect: {description}").format(
            severity=code_label(self.severity), description=self.description
        )

    @property
    def place_label(self) -> str:
        """In words; empty where it has no place."""
        return translated(place_label(self.place)) if self.place else ""

    @property
    def is_minor(self) -> bool:
        return self.severity == self.Severity.MINOR

    @property
    def was_closed_on_evidence(self) -> bool:
        return self.closed_at is not None and self.photo_after_id is not None

    @property
    def journal_stream(self) -> str:
        return self.installation.journal_stream


class Concession(Record):
    """The office accepts one thing as it is: which condition of a gate, at which place, and why.

    `place` is that of a reading or a check, of a junction, a fixing, a member or a photo, as its
    blocker names it. Nothing else goes with it.
    """

    installation = models.ForeignKey(
        Installation, on_delete=models.PROTECT, related_name="concessions"
    )
    code = models.CharField(max_length=40, help_text="Code of the gate's blocker.")
    place = models.CharField(
        max_length=60,
        blank=True,
        help_text="Where, as the blocker names it; empty where there is no more than one.",
    )
    step = models.ForeignKey(PlanStep, null=True, on_delete=models.PROTECT)
    defect = models.ForeignKey(Defect, null=True, on_delete=models.PROTECT)
    asked = models.CharField(
        max_length=500, blank=True, editable=False, help_text="What was in the way, in words."
    )
    found = models.CharField(
        max_length=1000, blank=True, editable=False, help_text="Why: what was accepted, in words."
    )
    reason = models.CharField(max_length=500)
    accepted_by = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="+")

    objects = OfInstallationQuerySet.as_manager()

    class Meta(Record.Meta):
        constraints = (
            models.CheckConstraint(condition=~Q(reason=""), name="concession_has_a_reason"),
        )

    def __str__(self) -> str:
        return _("{code} conceded: {reason}").format(code=self.code, reason=self.reason)

    @property
    def journal_stream(self) -> str:
        return self.installation.journal_stream
