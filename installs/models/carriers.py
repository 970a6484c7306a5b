"""What was done to the running gear between two rounds of gaps."""

from django.db import models
from django.utils.translation import gettext as _

from installs.models.plan import Installation, OfInstallationQuerySet, RecordedOnSite
from jobs.figures import number
from jobs.models import Person, Record


class CarrierLift(RecordedOnSite, Record):
    """A support that was turned: `lift` in mm, up positive. All of one junction add up to where its
    support is above the middle of its range."""

    installation = models.ForeignKey(Installation, on_delete=models.PROTECT, related_name="lifts")
    junction = models.PositiveSmallIntegerField()
    chain = models.CharField(max_length=5, help_text="The jamb that the carrier's chain hangs on.")
    lift = models.FloatField(help_text="mm")
    turns = models.FloatField()
    fitter = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="+")

    objects = OfInstallationQuerySet.as_manager()

    def __str__(self) -> str:
        return _("carrier of junction {junction}: {lift} mm").format(
            junction=self.junction, lift=number(self.lift, "+g")
        )

    @property
    def journal_stream(self) -> str:
        return self.installation.journal_stream
