"""Packers that were changed once they were in, between two rounds of readings."""

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext as _

from installs.models.fitted import FixingMember
from installs.models.plan import Installation, OfInstallationQuerySet, RecordedOnSite
from jobs.code_labels import code_label
from jobs.figures import number
from jobs.models import Person, Record, known


class PackerChange(RecordedOnSite, Record):
    """Packers added and taken out beside one fixing: `position` in mm from the member's left or
    foot end, the pieces by their thickness in mm."""

    Member = FixingMember

    installation = models.ForeignKey(
        Installation, on_delete=models.PROTECT, related_name="packer_changes"
    )
    member = models.CharField(max_length=5, choices=Member.choices)
    position = models.FloatField(help_text="mm")
    added = models.JSONField(help_text="mm of each packer added")
    taken = models.JSONField(help_text="mm of each packer taken out")
    fitter = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="+")

    objects = OfInstallationQuerySet.as_manager()

    class Meta(Record.Meta):
        constraints = (
            models.CheckConstraint(
                condition=Q(position__gte=0) & known("member", FixingMember),
                name="packer_change_is_known",
            ),
        )

    def __str__(self) -> str:
        return _("{change} mm at {position} mm of the {member}").format(
            change=number(self.change, "+g"),
            position=number(self.position),
            member=code_label(self.member),
        )

    @property
    def change(self) -> float:
        """mm by which the stack grew."""
        return float(sum(self.added) - sum(self.taken))

    @property
    def journal_stream(self) -> str:
        return self.installation.journal_stream
