"""The journal: append-only hash chains of everything that changed a record."""

from typing import ClassVar

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from jobs.models.people import Person


class JournalStream(models.Model):
    """The head of one chain; its row is the lock under which the chain grows."""

    name = models.CharField(max_length=60, primary_key=True)
    length = models.PositiveIntegerField(default=0)
    head = models.CharField(max_length=64, blank=True, default="")
    sealed_length = models.PositiveIntegerField(default=0)
    last_entry_at = models.DateTimeField(null=True)

    may_change: ClassVar = ("length", "head", "sealed_length", "last_entry_at")

    def __str__(self) -> str:
        return self.name


class JournalEntry(models.Model):
    """One link: `text` is the canonical JSON (RFC 8785) whose SHA-256 is `digest`."""

    stream = models.ForeignKey(JournalStream, on_delete=models.PROTECT, related_name="entries")
    number = models.PositiveIntegerField()
    created_at = models.DateTimeField()
    actor = models.ForeignKey(Person, null=True, on_delete=models.PROTECT)
    type = models.CharField(max_length=60)
    record_kind = models.CharField(max_length=60)
    record_id = models.CharField(max_length=64, db_index=True)
    text = models.TextField()
    digest = models.CharField(max_length=64)

    class Meta:
        ordering = ("stream", "number")
        verbose_name_plural = _("journal entries")
        constraints = (
            models.UniqueConstraint(fields=("stream", "number"), name="journal_number_once"),
            models.CheckConstraint(condition=Q(number__gte=1), name="journal_starts_at_1"),
        )

    def __str__(self) -> str:
        return f"{self.stream_id} {self.number}: {self.type}"
