"""The outbox: what is to be sent, and every attempt to send it."""

from typing import ClassVar

from django.db import models
from django.db.models import Q

from jobs.models import JournalEntry, OfJobQuerySet, PersonalRecord, known
from reports.models.documents import Document
from reports.models.webhooks import WebhookEndpoint


class DispatchQuerySet(OfJobQuerySet["Dispatch"]):
    path_to_job = "document__job"


class DispatchState(models.TextChoices):
    WAITING = "waiting"
    SENT = "sent"
    FAILED = "failed"
    BOUNCED = "bounced"


class Dispatch(PersonalRecord):
    """One message: an e-mail that carries a document to the customer, or a webhook that tells a
    program of an entry of the journal, or a letter that carries the checkpoint of a seal (`entry`)
    to a witness.

    `message_id` is made with the row and kept through every attempt, so that a message sent twice
    by mischance is recognised as one. While `waiting`, it is due from `next_attempt_at` on. A
    e-mail that was `sent` may come back: it is `bounced` then.
    """

    class Channel(models.TextChoices):
        EMAIL = "email"
        WEBHOOK = "webhook"
        WITNESS = "witness"

    State = DispatchState

    channel = models.CharField(max_length=7, choices=Channel.choices, default=Channel.EMAIL)
    document = models.ForeignKey(
        Document, null=True, on_delete=models.PROTECT, related_name="dispatches"
    )
    recipient = models.EmailField(blank=True)
    endpoint = models.ForeignKey(
        WebhookEndpoint, null=True, on_delete=models.PROTECT, related_name="dispatches"
    )
    entry = models.ForeignKey(JournalEntry, null=True, on_delete=models.PROTECT)
    body = models.TextField(blank=True, help_text="Of a webhook, as it is signed and sent.")
    message_id = models.CharField(max_length=120, unique=True)
    state = models.CharField(max_length=7, choices=State.choices, default=State.WAITING)
    attempts = models.PositiveSmallIntegerField(default=0)
    next_attempt_at = models.DateTimeField(null=True)
    outcome = models.CharField(max_length=300, blank=True)

    may_change: ClassVar = (
        "recipient",
        "message_id",
        "state",
        "attempts",
        "next_attempt_at",
        "outcome",
    )
    sealed_fields: ClassVar = ("recipient",)
    objects = DispatchQuerySet.as_manager()

    class Meta(PersonalRecord.Meta):
        verbose_name_plural = "dispatches"
        constraints = (
            models.UniqueConstraint(
                fields=("document", "channel"), name="document_goes_out_once_a_channel"
            ),
            models.UniqueConstraint(
                fields=("endpoint", "entry"), name="webhook_tells_of_an_entry_once"
            ),
            models.UniqueConstraint(
                fields=("recipient", "entry"),
                condition=Q(channel="witness"),
                name="witness_gets_a_checkpoint_once",
            ),
            models.CheckConstraint(
                condition=known("state", DispatchState),
                name="dispatch_state_is_known",
            ),
            models.CheckConstraint(
                condition=Q(channel="email", document__isnull=False, endpoint=None, entry=None)
                & ~Q(recipient="")
                | Q(channel="webhook", document=None, endpoint__isnull=False, recipient="")
                & Q(entry__isnull=False)
                & ~Q(body="")
                | Q(channel="witness", document=None, endpoint=None, entry__isnull=False)
                & ~Q(recipient=""),
                name="dispatch_is_a_letter_or_a_webhook",
            ),
            models.CheckConstraint(
                condition=Q(state="waiting", next_attempt_at__isnull=False)
                | (~Q(state="waiting") & Q(next_attempt_at=None)),
                name="dispatch_is_due_only_while_waiting",
            ),
        )
        indexes = (  # type: ignore[assignment]
            *PersonalRecord.Meta.indexes,
            models.Index(
                fields=("next_attempt_at",),
                condition=Q(state="waiting"),
                name="dispatch_due",
            ),
        )

    def __str__(self) -> str:
        return f"{self.document or self.endpoint or self.entry} by {self.channel}, {self.state}"

    @property
    def journal_stream(self) -> str:
        if self.document:
            return self.document.job.journal_stream
        return self.endpoint.journal_stream if self.endpoint else super().journal_stream


class DispatchAttempt(models.Model):
    """One try, written before it is made: a row without `finished_at` was cut off midway."""

    dispatch = models.ForeignKey(Dispatch, on_delete=models.PROTECT, related_name="attempt_records")
    message_id = models.CharField(max_length=120)
    started_at = models.DateTimeField()
    finished_at = models.DateTimeField(null=True)
    outcome = models.CharField(max_length=300, blank=True)

    may_change: ClassVar = ("finished_at", "outcome")

    class Meta:
        ordering = ("started_at", "id")

    def __str__(self) -> str:
        return f"{self.dispatch}, {self.started_at:%Y-%m-%d %H:%M}"
