"""The register of glazing beads: off, kept in order, and back where each came from."""

from typing import ClassVar

from django.db import models
from django.db.models import Q

from installs.models.plan import Installation, OfInstallationQuerySet, RecordedOnSite
from jobs.models import Person, Record, known


class BeadSide(models.TextChoices):
    """In the order in which beads go back (common practice, no source)."""

    TOP = "top"
    BOTTOM = "bottom"
    LEFT = "left"
    RIGHT = "right"


class Bead(RecordedOnSite, Record):
    """One bead: `number` is what is written on it, `leaf` and `side` where it was taken off.

    Beads of one profile differ by fractions of a mm; in another sash they rattle or break glass.
    """

    Side = BeadSide

    installation = models.ForeignKey(Installation, on_delete=models.PROTECT, related_name="beads")
    number = models.CharField(max_length=12)
    leaf = models.PositiveSmallIntegerField()
    side = models.CharField(max_length=6, choices=Side.choices)
    taken_off_by = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="+")
    put_back_by = models.ForeignKey(Person, null=True, on_delete=models.PROTECT, related_name="+")
    put_back_at = models.DateTimeField(null=True)

    may_change: ClassVar = ("put_back_by", "put_back_at")
    objects = OfInstallationQuerySet.as_manager()

    class Meta(Record.Meta):
        constraints = (
            models.UniqueConstraint(fields=("installation", "number"), name="bead_number_once"),
            models.UniqueConstraint(
                fields=("installation", "leaf", "side"), name="one_bead_on_a_side"
            ),
            models.CheckConstraint(
                condition=Q(leaf__gte=1) & known("side", BeadSide) & ~Q(number=""),
                name="bead_is_known",
            ),
        )

    def __str__(self) -> str:
        return f"bead {self.number}, sash {self.leaf}, {self.side}"

    @property
    def journal_stream(self) -> str:
        return self.installation.journal_stream
