"""Who outside the firm keeps what it cannot change any more."""

from typing import ClassVar, Self

from django.db import models
from django.db.models import Q
from django.db.models.functions import Lower
from django.utils.translation import gettext_lazy as _

from jobs.capabilities import Capability
from jobs.models import Person, PersonalRecord, known


class JournalWitnessQuerySet(models.QuerySet["JournalWitness"]):
    def visible_to(self, person: Person) -> Self:
        return self if person.has_capability(Capability.ADMINISTER) else self.none()

    def not_ended(self) -> Self:
        return self.filter(ended_at=None)


class WitnessStanding(models.TextChoices):
    INSURER = "insurer", _("Insurer")
    ACCOUNTANT = "accountant", _("Accountant")
    OTHER_FIRM = "other_firm", _("Another firm")
    OTHER = "other", _("Somebody else")


class JournalWitness(PersonalRecord):
    """Somebody outside the firm who gets the newest checkpoint of the journal once a month, from
    when they were added until `ended_at`, and keeps it."""

    Standing = WitnessStanding

    name = models.CharField(max_length=120)
    email = models.EmailField()
    standing = models.CharField(max_length=10, choices=Standing.choices)
    ended_at = models.DateTimeField(null=True, editable=False)

    may_change: ClassVar = ("ended_at",)
    sealed_fields: ClassVar = ("name", "email")
    objects = JournalWitnessQuerySet.as_manager()

    class Meta(PersonalRecord.Meta):
        verbose_name = _("witness")
        verbose_name_plural = _("witnesses")
        constraints = (
            models.UniqueConstraint(
                Lower("email"), condition=Q(ended_at=None), name="witness_has_one_address"
            ),
            models.CheckConstraint(
                condition=known("standing", WitnessStanding), name="witness_standing_is_known"
            ),
        )

    def __str__(self) -> str:
        return self.name
