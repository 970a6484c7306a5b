"""What was recorded on site and could not be taken as it was: kept as it was said."""

from django.core.serializers.json import DjangoJSONEncoder
from django.db import models

from jobs.models import Job, OfJobQuerySet, Person, Record


class SetAsideQuerySet(OfJobQuerySet["SetAside"]):
    path_to_job = "job"


class SetAside(Record):
    """An operation of a phone that its person set aside instead of recording it. Its identity is
    that of the operation; nothing changes or deletes it.

    `body` is as it was sent, save what a customer may ask to be erased. `job` is unknown where the
    body names nothing that is on record. A photograph has its picture, and `sha256` is that of it.
    """

    PHOTO = "photo"

    job = models.ForeignKey(Job, null=True, on_delete=models.PROTECT, related_name="set_aside")
    person = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="+")
    kind = models.CharField(max_length=40)
    record = models.UUIDField(help_text="The record that it was to make or change.")
    body = models.JSONField(encoder=DjangoJSONEncoder)
    reason = models.CharField(max_length=500, help_text="Why it was refused.")
    recorded_at = models.DateTimeField()
    image = models.FileField(upload_to="set-aside/%Y/%m", blank=True)
    thumbnail = models.FileField(upload_to="set-aside/%Y/%m", blank=True)
    sha256 = models.CharField(max_length=64, blank=True, editable=False)

    objects = SetAsideQuerySet.as_manager()

    def __str__(self) -> str:
        return f"{self.kind}: {self.reason}"

    @property
    def journal_stream(self) -> str:
        return self.job.journal_stream if self.job else super().journal_stream
