"""What every record of the service has in common."""

import secrets
import uuid
from collections.abc import Iterable
from typing import Any, ClassVar

from django.db import models

# What a model's `may_change` says where its services change all of it (`jobs/database_rights.py`).
EVERY_FIELD = ("*",)
# The hash chain of the firm's own records, such as instruments, rule sets and people.
CATALOGUE = "catalogue"


def known(field: str, choices: Iterable[models.TextChoices]) -> models.Q:
    """For a constraint: the field holds one of these choices."""
    return models.Q(**{f"{field}__in": tuple(choice.value for choice in choices)})


class Journalled(models.Model):
    """What the journal holds the whole state of after every change, so that it can be compared.

    `parts` are the reverse names of rows that belong to it and are written with it, each with the
    column that orders them. Of `sealed_fields` the journal keeps a keyed digest (see `Sealed`).
    `not_journalled` names columns that it does not keep; why stands beside them.
    """

    parts: ClassVar[dict[str, str]] = {}
    sealed_fields: ClassVar[tuple[str, ...]] = ()
    not_journalled: ClassVar[tuple[str, ...]] = ()

    class Meta:
        abstract = True

    @property
    def journal_stream(self) -> str:
        """Name of the hash chain that this record's changes are written to."""
        return CATALOGUE


class Sealed(models.Model):
    """The key under which the journal keeps the `sealed_fields` of a record."""

    seal_key = models.CharField(max_length=64, default=secrets.token_hex, editable=False)

    class Meta:
        abstract = True


class MadeAt(models.DateTimeField):
    """Now, unless its service has dated the record already (`jobs.services.journal.date_new`): a
    stored one is never dated anew, and no process of the service may."""

    def pre_save(self, model_instance: models.Model, add: bool) -> Any:
        dated = getattr(model_instance, self.attname)
        return dated if add and dated else super().pre_save(model_instance, add)

    def deconstruct(self) -> Any:
        """To migrations it is what every database has."""
        name, _, args, kwargs = super().deconstruct()
        return name, "django.db.models.DateTimeField", args, kwargs


class Record(Journalled):
    """A stored thing with an identity made by its client, a version, and a place in the journal.

    `creation_digest` is the SHA-256 of the canonical request body that made the record: the same
    identity with the same body is a repeat, with another body a conflict.
    """

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    version = models.PositiveIntegerField(default=1, editable=False)
    creation_digest = models.CharField(max_length=64, blank=True, default="", editable=False)
    created_at = MadeAt(auto_now_add=True)
    updated_at = models.DateTimeField(auto_now=True, db_index=True)

    class Meta:
        abstract = True
        ordering = ("-created_at", "-id")
        indexes = (
            models.Index(fields=("-created_at", "-id"), name="%(app_label)s_%(class)s_made"),
        )


class PersonalRecord(Sealed, Record):
    """A record about somebody outside the firm.

    The journal can never be edited, so it must not hold what a person may ask to be erased: the
    `sealed_fields` go in as HMAC-SHA256 under `seal_key`, and so does `creation_digest`, which was
    made from them. Erasing the key and the values leaves the evidence that something was recorded,
    unchanged, without saying what.
    """

    class Meta(Record.Meta):
        abstract = True
