"""Crews and their visits."""

from typing import ClassVar, Self

from django.db import models
from django.db.models import F, Q
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from jobs.capabilities import Capability, VisitKind
from jobs.code_labels import code_label
from jobs.models.jobs import Job
from jobs.models.people import Person
from jobs.models.record import EVERY_FIELD, Record, known


class CrewQuerySet(models.QuerySet["Crew"]):
    def visible_to(self, person: Person) -> Self:
        """All, or the crews one is in, and those of one's visits."""
        if person.has_capability(Capability.SEE_EVERY_JOB):
            return self
        # By their ids: joined, the visits of all would be read for those of one.
        theirs = Q(pk__in=person.crews.values("pk")) | Q(pk__in=person.visits.values("crew"))
        return self.filter(theirs)


class Crew(Record):
    name = models.CharField(max_length=80, unique=True)
    members = models.ManyToManyField(Person, related_name="crews")
    # SHA-256 of the secret in the address of its calendar; None: there is no such address.
    calendar_digest = models.CharField(
        max_length=64, null=True, blank=True, unique=True, editable=False
    )

    may_change: ClassVar = EVERY_FIELD
    objects = CrewQuerySet.as_manager()

    def __str__(self) -> str:
        return self.name

    @property
    def has_calendar(self) -> bool:
        return self.calendar_digest is not None


class VisitPurpose(models.TextChoices):
    """What somebody comes back for, where that is more than what was left over."""

    AFTER_CARE = "after_care", gettext_lazy("After-care")


class VisitQuerySet(models.QuerySet["Visit"]):
    def visible_to(self, person: Person) -> Self:
        """All, or one's own visits of the kinds that one's role makes."""
        if person.has_capability(Capability.SEE_EVERY_JOB):
            return self
        return self.filter(people=person, kind__in=person.visit_kinds)

    def not_cancelled(self) -> Self:
        return self.filter(cancelled_at=None)


class Visit(Record):
    """A crew at a site from `start` to `end`; `people` are those booked, whoever joins later.

    What was recorded at it, or said of it, goes before what was planned.
    """

    Kind = VisitKind

    Purpose = VisitPurpose

    job = models.ForeignKey(Job, on_delete=models.PROTECT, related_name="visits")
    kind = models.CharField(max_length=7, choices=Kind.choices)
    purpose = models.CharField(max_length=10, choices=Purpose.choices, blank=True)
    crew = models.ForeignKey(Crew, on_delete=models.PROTECT, related_name="visits")
    people = models.ManyToManyField(Person, related_name="visits")
    start = models.DateTimeField()
    end = models.DateTimeField(db_index=True)
    began_at = models.DateTimeField(
        null=True, editable=False, help_text="When the first of its records was made."
    )
    ended_at = models.DateTimeField(
        null=True, editable=False, help_text="When somebody said that it was over."
    )
    cancelled_at = models.DateTimeField(null=True, editable=False)

    may_change: ClassVar = ("start", "end", "began_at", "ended_at", "cancelled_at")
    objects = VisitQuerySet.as_manager()

    class Meta(Record.Meta):
        constraints = (
            models.CheckConstraint(condition=Q(end__gt=F("start")), name="visit_ends_after_start"),
            models.CheckConstraint(
                condition=known("kind", VisitKind),
                name="visit_kind_is_known",
            ),
            models.CheckConstraint(
                condition=Q(purpose="") | known("purpose", VisitPurpose) & Q(kind="return"),
                name="a_return_has_a_known_purpose",
            ),
        )

    def __str__(self) -> str:
        return _("{kind} visit to {reference} from {start} UTC").format(
            kind=code_label(self.kind),
            reference=self.job.reference,
            start=f"{self.start:%Y-%m-%d %H:%M}",
        )

    @property
    def journal_stream(self) -> str:
        return self.job.journal_stream

    @property
    def kind_label(self) -> str:
        """With what it is for, where that is said: `return, after-care`."""
        kind = code_label(self.kind)
        return f"{kind}, {self.get_purpose_display().lower()}" if self.purpose else kind

    @property
    def has_begun(self) -> bool:
        return self.began_at is not None or self.start <= timezone.now()

    @property
    def is_over(self) -> bool:
        return self.ended_at is not None or self.end <= timezone.now()
