"""What has become of the operations that phones sent from their queues."""

from django.core.serializers.json import DjangoJSONEncoder
from django.db import models
from django.db.models import Q

from jobs.models import Person


class SyncOperation(models.Model):
    """One operation that was answered for good. A repeat of it gets the same answer.

    `digest` is the SHA-256 of its canonical JSON: the same id with another content is no repeat.
    `version` is that of the record after it; `server_record` the record it was in conflict with.
    `same_as` is the record that said the same already, where that is another one. `recorded_at` is
    when it was done; `made_at` the same by the clock of the phone, where that was wrong.
    `signed_by` is the thumbprint of the key that it was signed with, where that counts.
    """

    class Outcome(models.TextChoices):
        APPLIED = "applied"
        CONFLICT = "conflict"
        SET_ASIDE = "set_aside"

    id = models.UUIDField(primary_key=True, editable=False)
    person = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="+")
    kind = models.CharField(max_length=40)
    record = models.UUIDField(db_index=True)
    base_version = models.PositiveIntegerField(null=True)
    after = models.UUIDField(null=True)
    also_after = models.JSONField(default=list)
    made_at = models.DateTimeField(null=True)
    recorded_at = models.DateTimeField()
    received_at = models.DateTimeField(auto_now_add=True)
    digest = models.CharField(max_length=64)
    signed_by = models.CharField(max_length=43, blank=True, default="")
    outcome = models.CharField(max_length=9, choices=Outcome.choices)
    version = models.PositiveIntegerField()
    same_as = models.UUIDField(null=True)
    server_record = models.JSONField(null=True, encoder=DjangoJSONEncoder)

    class Meta:
        ordering = ("received_at", "id")
        constraints = (
            models.CheckConstraint(
                condition=Q(outcome__in=("applied", "set_aside"), server_record__isnull=True)
                | Q(outcome="conflict", server_record__isnull=False),
                name="sync_operation_is_answered",
            ),
        )

    def __str__(self) -> str:
        return f"{self.kind}: {self.outcome}"
