"""What is ordered for an opening, and what arrived."""

from typing import ClassVar, Self

from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from jobs.calculations import DOORSET_CALCULATION
from jobs.frozen import FrozenField
from jobs.models.catalogue import ProfileSystem
from jobs.models.jobs import Job, OfJobQuerySet, Opening
from jobs.models.record import EVERY_FIELD, Record, known


class DoorsetQuerySet(OfJobQuerySet["Doorset"]):
    path_to_job = "opening__job"

    def current(self) -> Self:
        return self.filter(superseded_at=None)


class DoorsetOpens(models.TextChoices):
    OUT = "out", _("Out")
    IN = "in", _("In")


class DoorsetHeadFixing(models.TextChoices):
    THROUGH_TRACK = "through_track", _("countersunk through the track")
    IN_CHANNEL = "in_channel", _("in the channel behind the removable track")


class DoorsetEnergyBand(models.TextChoices):
    A_PLUS_PLUS = "A++", "A++"
    A_PLUS = "A+", "A+"
    A = "A", "A"
    B = "B", "B"
    C = "C", "C"
    D = "D", "D"
    E = "E", "E"
    F = "F", "F"
    G = "G", "G"


class Doorset(Record):
    """One revision of the complete unit for an opening.

    Until it is ordered it may be changed; from then on a change is a new revision. `calculation`
    is the answer of the doorset arithmetic for exactly these values. `energy_band` is that of its
    energy rating and `security_evidence` what shows that it resists burglars, as the maker declares
    them; empty where they were not asked for.
    """

    Opens = DoorsetOpens

    EnergyBand = DoorsetEnergyBand

    HeadFixing = DoorsetHeadFixing

    opening = models.ForeignKey(Opening, on_delete=models.PROTECT, related_name="doorsets")
    revision = models.PositiveSmallIntegerField(default=1)
    leaves = models.PositiveSmallIntegerField()
    left_leaves = models.PositiveSmallIntegerField()
    right_leaves = models.PositiveSmallIntegerField()
    opens = models.CharField(max_length=3, choices=Opens.choices)
    frame_width = models.IntegerField(help_text="mm")
    frame_height = models.IntegerField(help_text="mm")
    profile_system = models.ForeignKey(ProfileSystem, on_delete=models.PROTECT)
    glazing = models.JSONField()
    head_fixing = models.CharField(max_length=13, choices=HeadFixing.choices)
    colour_inside = models.CharField(max_length=60)
    colour_outside = models.CharField(max_length=60)
    handle = models.CharField(max_length=60)
    threshold = models.CharField(max_length=60)
    upstand = models.FloatField(help_text="mm above the finished floor")
    ventilator = models.CharField(max_length=60, blank=True)
    keyed_alike = models.BooleanField(default=False)
    energy_band = models.CharField(max_length=3, choices=EnergyBand.choices, blank=True)
    security_evidence = models.CharField(max_length=120, blank=True)
    calculation = FrozenField(DOORSET_CALCULATION, editable=False)
    ordered_at = models.DateTimeField(null=True, editable=False)
    superseded_at = models.DateTimeField(null=True, editable=False)

    may_change: ClassVar = EVERY_FIELD
    stays: ClassVar = ("opening", "revision")
    objects = DoorsetQuerySet.as_manager()

    class Meta(Record.Meta):
        constraints = (
            models.UniqueConstraint(
                fields=("opening",),
                condition=Q(superseded_at=None),
                name="one_current_doorset_for_an_opening",
            ),
            models.UniqueConstraint(
                fields=("opening", "revision"), name="doorset_revision_once_per_opening"
            ),
            models.CheckConstraint(
                condition=Q(leaves__gte=1, leaves=F("left_leaves") + F("right_leaves")),
                name="fold_adds_up",
            ),
            models.CheckConstraint(
                condition=Q(frame_width__gt=0, frame_height__gt=0),
                name="doorset_frame_is_positive",
            ),
            models.CheckConstraint(
                condition=known("opens", DoorsetOpens)
                & known("head_fixing", DoorsetHeadFixing)
                & (Q(energy_band="") | known("energy_band", DoorsetEnergyBand)),
                name="doorset_choices_are_known",
            ),
            models.CheckConstraint(
                condition=Q(upstand__gte=0), name="doorset_upstand_is_not_negative"
            ),
        )

    def __str__(self) -> str:
        text = gettext("{fold} for {opening}, revision {revision}")
        return text.format(fold=self.fold, opening=self.opening, revision=self.revision)

    @property
    def fold(self) -> str:
        return f"{self.leaves}-{self.left_leaves}-{self.right_leaves}"

    @property
    def job(self) -> Job:
        return self.opening.job

    @property
    def journal_stream(self) -> str:
        return self.opening.job.journal_stream


class DeliveryQuerySet(OfJobQuerySet["Delivery"]):
    path_to_job = "doorset__opening__job"


class Delivery(Record):
    """What came off the lorry for a doorset, measured before it is needed; sizes in mm."""

    doorset = models.ForeignKey(Doorset, on_delete=models.PROTECT, related_name="deliveries")
    delivered_on = models.DateField()
    frame_width = models.IntegerField(help_text="mm, as measured on the delivered frame")
    frame_height = models.IntegerField(help_text="mm, as measured on the delivered frame")
    leaves_counted = models.PositiveSmallIntegerField()
    accepted = models.BooleanField()
    damage = models.CharField(max_length=500, blank=True)
    declaration = models.CharField(
        max_length=120,
        blank=True,
        help_text="Number of the declaration of performance, and the mark on the label.",
    )

    objects = DeliveryQuerySet.as_manager()

    class Meta(Record.Meta):
        verbose_name_plural = _("deliveries")
        constraints = (
            models.CheckConstraint(
                condition=Q(frame_width__gt=0, frame_height__gt=0),
                name="delivered_frame_is_positive",
            ),
        )

    def __str__(self) -> str:
        text = gettext("delivery of {doorset} on {date}")
        return text.format(doorset=self.doorset, date=self.delivered_on)

    @property
    def job(self) -> Job:
        return self.doorset.opening.job

    @property
    def journal_stream(self) -> str:
        return self.job.journal_stream
