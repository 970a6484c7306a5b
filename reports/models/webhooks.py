"""Programs of others that want to hear what happens to a job."""

from typing import ClassVar, Self

from django.db import models

from jobs.capabilities import Capability
from jobs.journal_types import PUBLIC_TYPES
from jobs.models import EVERY_FIELD, Person, PersonalRecord


class WebhookEndpointQuerySet(models.QuerySet["WebhookEndpoint"]):
    def visible_to(self, person: Person) -> Self:
        return self if person.has_capability(Capability.MANAGE_WEBHOOKS) else self.none()


class WebhookEndpoint(PersonalRecord):
    """An address that receives events (Standard Webhooks).

    `secret` signs what is sent to it; the journal holds neither it nor the address, which may hold
    a key of its own. `event_types` are those it wants, none of them meaning all. Events are read
    off the journal: everything up to the entry `read_to` has been.
    """

    address = models.URLField(max_length=500)
    secret = models.CharField(max_length=80, editable=False)
    event_types = models.JSONField(default=list)
    active = models.BooleanField(default=True)
    read_to = models.BigIntegerField(default=0, editable=False)

    may_change: ClassVar = EVERY_FIELD
    sealed_fields: ClassVar = ("address", "secret")
    # A mark that only says where reading goes on.
    not_journalled: ClassVar = ("read_to",)
    objects = WebhookEndpointQuerySet.as_manager()

    def __str__(self) -> str:
        return self.address

    @property
    def wanted(self) -> list[str]:
        return self.event_types or sorted(PUBLIC_TYPES)

    @property
    def journal_stream(self) -> str:
        """A chain of its own: what is sent to programs is no part of any job's record."""
        return f"webhook:{self.pk}"
