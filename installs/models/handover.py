"""The handover of a job to its customer."""

from typing import ClassVar

from django.db import models
from django.utils.translation import gettext as _

from installs.models.plan import RecordedOnSite
from jobs.models import Job, OfJobQuerySet, Person, PersonalRecord


class Handover(RecordedOnSite, PersonalRecord):
    """The customer was shown the doorsets, got the keys, and acknowledged it; another time for
    what was added to the job since.

    `keys` maps installations to keys handed over; `signature` holds strokes as lists of points.
    Where there are none, `unsigned_because` says why: signed on paper, say. `to_come` holds the
    minor defects that were named above the signature, as they stood there: `{"defect": id,
    "opening": 1, "what": "...", "promise": "...", "until": "2027-01-31"}`.
    """

    job = models.ForeignKey(Job, on_delete=models.PROTECT, related_name="handovers")
    fitter = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="+")
    customer_name = models.CharField(max_length=120)
    signature = models.JSONField(default=list)
    unsigned_because = models.CharField(max_length=200, blank=True)
    keys = models.JSONField()
    demonstrated = models.BooleanField()
    care_given = models.BooleanField()
    to_come = models.JSONField(
        default=list, help_text="Minor defects that the customer accepted as still to come."
    )

    sealed_fields: ClassVar = ("customer_name", "signature")
    objects = OfJobQuerySet["Handover"].as_manager()

    class Meta(PersonalRecord.Meta):
        constraints = (
            models.CheckConstraint(
                condition=models.Q(demonstrated=True, care_given=True),
                name="handover_is_complete",
            ),
        )

    def __str__(self) -> str:
        return _("handover of {reference}").format(reference=self.job.reference)

    @property
    def journal_stream(self) -> str:
        return self.job.journal_stream
