"""The keys that devices of people sign with, and what of it the journal must not hold."""

from typing import ClassVar, Self

from django.db import models
from django.db.models import Q

from jobs.capabilities import Capability
from jobs.models.journal import JournalEntry
from jobs.models.people import Person
from jobs.models.record import Record


class EnrolledKeyQuerySet(models.QuerySet["EnrolledKey"]):
    def visible_to(self, person: Person) -> Self:
        """One's own; those of all people for whoever manages them."""
        if person.has_capability(Capability.MANAGE_PEOPLE):
            return self
        return self.filter(person=person)

    def not_ended(self) -> Self:
        return self.filter(ended_at=None)


class EnrolledKey(Record):
    """The public key of a device of `person`, who confirmed it with their password.

    `public_key` is its JWK (RFC 7517), `thumbprint` its name (RFC 7638). What it signed before
    `ended_at` counts; afterwards its signatures count no more.
    """

    person = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="enrolled_keys")
    device = models.CharField(max_length=60)
    public_key = models.JSONField(editable=False)
    thumbprint = models.CharField(max_length=43, unique=True, editable=False)
    ended_at = models.DateTimeField(null=True, editable=False)
    ended_by = models.ForeignKey(
        Person, null=True, on_delete=models.PROTECT, related_name="+", editable=False
    )
    ended_because = models.CharField(max_length=500, blank=True, editable=False)

    may_change: ClassVar = ("ended_at", "ended_by", "ended_because")
    objects = EnrolledKeyQuerySet.as_manager()

    class Meta(Record.Meta):
        constraints = (
            models.CheckConstraint(
                condition=Q(ended_at=None, ended_by=None, ended_because="")
                | (Q(ended_at__isnull=False, ended_by__isnull=False) & ~Q(ended_because="")),
                name="enrolled_key_is_ended_by_somebody",
            ),
        )

    def __str__(self) -> str:
        return self.device


class SealedContent(models.Model):
    """What a device signed, in base64url, where a customer may ask to have it erased: the signature
    in the `entry` is over it. With it gone, nobody can find it out from the signature, since there
    is a number in it that only its device knew."""

    entry = models.OneToOneField(
        JournalEntry, on_delete=models.PROTECT, related_name="sealed_content"
    )
    payload = models.TextField()

    def __str__(self) -> str:
        return str(self.entry)
