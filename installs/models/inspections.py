"""The inspections of the steps of a plan, with their readings."""

from typing import ClassVar, Self

from django.db import models
from django.db.models import Exists, OuterRef, Q

from installs.models.plan import PlanStep, RecordedOnSite
from installs.next_act import NEXT_ACT
from jobs.frozen import FrozenField
from jobs.models import OfJobQuerySet, Person, Record, known
from surveys.frozen import INSTRUMENT_THEN
from surveys.models import Instrument


class InspectionQuerySet(OfJobQuerySet["Inspection"]):
    path_to_job = "step__installation__doorset__opening__job"

    def left_for_return(self) -> Self:
        """The newest of their steps, where they say that somebody comes back: protective tape was
        left inside."""
        newer = self.model._default_manager.filter(
            step=OuterRef("step"), created_at__gt=OuterRef("created_at")
        )
        return self.filter(~Exists(newer), return_on__isnull=False)


class InspectionOutcome(models.TextChoices):
    PASS = "pass"  # noqa: S105 an outcome, not a password
    FAIL = "fail"
    INCONCLUSIVE = "inconclusive"


class Inspection(RecordedOnSite, Record):
    """The outcome of a step, at one time; the newest counts, the older ones stay."""

    Outcome = InspectionOutcome

    step = models.ForeignKey(PlanStep, on_delete=models.PROTECT, related_name="inspections")
    inspector = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="inspections")
    instrument = models.ForeignKey(Instrument, null=True, on_delete=models.PROTECT)
    measured_with = FrozenField(
        INSTRUMENT_THEN,
        null=True,
        editable=False,
        help_text="The instrument as it was when it was read.",
    )
    outcome = models.CharField(max_length=12, choices=Outcome.choices)
    acknowledged = models.BooleanField(default=False)
    count = models.PositiveSmallIntegerField(null=True)
    checks = models.JSONField(default=dict, help_text="Whether each was in order, by its name.")
    sealant_class = models.FloatField(
        null=True, help_text="Movement accommodation of the sealant that was used, percent."
    )
    surface_temperature = models.FloatField(
        null=True, help_text="C, of the faces of the joint while it was sealed."
    )
    air_temperature = models.FloatField(null=True, help_text="C, beside the joint.")
    relative_humidity = models.FloatField(null=True, help_text="Percent, beside the joint.")
    sealant_use_by = models.DateField(
        null=True, help_text="The day by which the sealant was to be used."
    )
    return_on = models.DateField(
        null=True, help_text="Protective tape stays inside until somebody comes back on this day."
    )
    lifted_with = models.CharField(
        max_length=200, blank=True, help_text="Who lifted beside the crew, or the lifting aid."
    )
    note = models.CharField(max_length=500, blank=True)
    shortfalls = models.JSONField(
        default=dict,
        editable=False,
        help_text="What failed it beside readings and checks, in words, by place.",
    )
    next_act = FrozenField(
        NEXT_ACT,
        null=True,
        editable=False,
        help_text="What to do next at the members that it read.",
    )

    parts: ClassVar = {"readings": "pk"}
    objects = InspectionQuerySet.as_manager()

    class Meta(Record.Meta):
        constraints = (
            models.CheckConstraint(
                condition=known("outcome", InspectionOutcome), name="inspection_outcome_is_known"
            ),
        )

    def __str__(self) -> str:
        return f"{self.step}: {self.outcome}"

    @property
    def journal_stream(self) -> str:
        return self.step.journal_stream

    @property
    def short_places(self) -> tuple[str, ...]:
        """What keeps it from having passed: readings and checks by their names, empty for what
        was confirmed or is lacking on record; none where it passed."""
        if self.outcome == self.Outcome.PASS:
            return ()
        places = [read.place for read in self.readings.all() if read.decision != self.Outcome.PASS]
        places += [name for name, in_order in self.checks.items() if not in_order]
        places += self.shortfalls
        if not places or ("acknowledgement" in self.step.evidence and not self.acknowledged):
            places.append("")
        return tuple(places)


class Reading(models.Model):
    """One number of an inspection, judged against its limits when it was stored.

    `measured` holds what was read for it, by place: the number itself, or the several numbers that
    it is a difference or a spread of.
    """

    inspection = models.ForeignKey(Inspection, on_delete=models.CASCADE, related_name="readings")
    place = models.CharField(max_length=60)
    value = models.FloatField()
    measured = models.JSONField(default=dict)
    unit = models.CharField(max_length=12)
    lower = models.FloatField(null=True)
    upper = models.FloatField(null=True)
    standard_uncertainty = models.FloatField()
    probability_conforms = models.FloatField()
    decision = models.CharField(max_length=12, choices=Inspection.Outcome.choices)

    class Meta:
        ordering = ("inspection", "id")
        constraints = (
            models.UniqueConstraint(fields=("inspection", "place"), name="reading_once_per_place"),
            models.CheckConstraint(
                condition=Q(standard_uncertainty__gte=0)
                & (Q(lower__isnull=False) | Q(upper__isnull=False))
                & known("decision", InspectionOutcome),
                name="reading_is_judged",
            ),
        )

    def __str__(self) -> str:
        return f"{self.place}: {self.value:g} {self.unit}, {self.decision}"
