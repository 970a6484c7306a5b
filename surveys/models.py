"""Instruments, surveys with their readings and photos, and the fit decisions made from them."""

from typing import ClassVar

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from jobs.figures import number
from jobs.frozen import FrozenField
from jobs.models import (
    EVERY_FIELD,
    Doorset,
    Job,
    OfJobQuerySet,
    Opening,
    Person,
    Record,
    RuleSet,
    SharedQuerySet,
    Visit,
    known,
)
from surveys.arithmetic.answers import WholeSize
from surveys.frozen import DECIDED_FIT, FIT_INPUTS, SURVEY_ASSESSMENT


class InstrumentKind(models.TextChoices):
    TAPE = "tape", gettext_lazy("Tape")
    LASER = "laser", gettext_lazy("Laser")
    LEVEL = "level", gettext_lazy("Level")
    GAUGE = "gauge", gettext_lazy("Gauge")


class Instrument(Record):
    """A measuring instrument of the firm; uncertainties in mm."""

    Kind = InstrumentKind

    name = models.CharField(max_length=80)
    kind = models.CharField(max_length=5, choices=Kind.choices)
    serial = models.CharField(max_length=60, unique=True)
    accuracy_class = models.CharField(max_length=3, blank=True, help_text="Of a tape: I, II, III.")
    from_end_hook = models.BooleanField(default=False)
    expanded_uncertainty = models.FloatField(null=True, help_text="mm")
    coverage_factor = models.FloatField(null=True)
    greatest_reading = models.FloatField(
        null=True, help_text="mm; of a gauge or a tape, where it ends."
    )
    calibration_due = models.DateField()

    may_change: ClassVar = EVERY_FIELD
    objects = SharedQuerySet.as_manager()

    class Meta(Record.Meta):
        constraints = (
            models.CheckConstraint(
                condition=Q(kind="tape", accuracy_class__in=("I", "II", "III"))
                | Q(
                    kind__in=("laser", "level", "gauge"),
                    accuracy_class="",
                    # A comparison with nothing is not false to a database, so say both.
                    expanded_uncertainty__isnull=False,
                    expanded_uncertainty__gt=0,
                    coverage_factor__isnull=False,
                    coverage_factor__gt=0,
                ),
                name="instrument_says_how_good_it_is",
            ),
        )

    def __str__(self) -> str:
        return f"{self.name} ({self.serial})"


class SurveyQuerySet(OfJobQuerySet["Survey"]):
    path_to_job = "opening__job"


class SurveyStage(models.TextChoices):
    FIRST = "first", gettext_lazy("First")
    BEFORE_REMOVAL = "before_removal", gettext_lazy("Before Removal")
    AFTER_REMOVAL = "after_removal", gettext_lazy("After Removal")


class Survey(Record):
    """One set of readings of an opening, taken at one time by one person.

    `check_instrument` read some sizes a second time; `gap_instrument` read what stood off a
    straightedge or square. `surfaces` by side is what the frame comes against, as far as somebody
    said so; `higher_end` of sill and head which end was seen to be higher. `conditions` is what a
    survey records besides readings; `assessment` the frozen answer of the arithmetic about the
    opening alone: does the set agree with itself, what is clear in it.
    """

    Stage = SurveyStage

    opening = models.ForeignKey(Opening, on_delete=models.PROTECT, related_name="surveys")
    visit = models.ForeignKey(Visit, on_delete=models.PROTECT, related_name="surveys")
    surveyor = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="surveys")
    stage = models.CharField(max_length=14, choices=Stage.choices)
    taken_at = models.DateTimeField()
    instrument = models.ForeignKey(Instrument, on_delete=models.PROTECT, related_name="+")
    level_instrument = models.ForeignKey(
        Instrument, null=True, on_delete=models.PROTECT, related_name="+"
    )
    check_instrument = models.ForeignKey(
        Instrument, null=True, on_delete=models.PROTECT, related_name="+"
    )
    gap_instrument = models.ForeignKey(
        Instrument, null=True, on_delete=models.PROTECT, related_name="+"
    )
    surfaces = models.JSONField(default=dict)
    higher_end = models.JSONField(default=dict)
    conditions = models.JSONField()
    assessment = FrozenField(SURVEY_ASSESSMENT, editable=False)
    accepted_at = models.DateTimeField(null=True, editable=False)

    parts: ClassVar = {"readings": "pk"}
    may_change: ClassVar = ("accepted_at",)
    objects = SurveyQuerySet.as_manager()

    class Meta(Record.Meta):
        constraints = (
            models.CheckConstraint(
                condition=known("stage", SurveyStage), name="survey_stage_is_known"
            ),
        )

    def __str__(self) -> str:
        return _("{stage} survey of {opening} on {day}").format(
            stage=self.get_stage_display(),
            opening=self.opening,
            day=format(self.taken_at, "%Y-%m-%d"),
        )

    @property
    def job(self) -> Job:
        return self.opening.job

    @property
    def journal_stream(self) -> str:
        return self.opening.job.journal_stream

    @property
    def agrees_with_itself(self) -> bool:
        return not self.assessment.contradictory


class ReadingQuantity(models.TextChoices):
    WIDTH = "width", gettext_lazy("Width")
    HEIGHT = "height", gettext_lazy("Height")
    DIAGONAL_RISING = "diagonal_rising", gettext_lazy("Diagonal Rising")
    DIAGONAL_FALLING = "diagonal_falling", gettext_lazy("Diagonal Falling")
    SILL_LEVEL = "sill_level", gettext_lazy("Sill Level")
    HEAD_LEVEL = "head_level", gettext_lazy("Head Level")
    PLUMB_LEFT = "plumb_left", gettext_lazy("Plumb Left")
    PLUMB_RIGHT = "plumb_right", gettext_lazy("Plumb Right")
    STRAIGHTEDGE_LEFT = "straightedge_left", gettext_lazy("Straightedge Left")
    STRAIGHTEDGE_RIGHT = "straightedge_right", gettext_lazy("Straightedge Right")
    STRAIGHTEDGE_HEAD = "straightedge_head", gettext_lazy("Straightedge Head")
    STRAIGHTEDGE_SILL = "straightedge_sill", gettext_lazy("Straightedge Sill")
    SPLAY_LEFT = "splay_left", gettext_lazy("Splay Left")
    SPLAY_RIGHT = "splay_right", gettext_lazy("Splay Right")
    SPLAY_HEAD = "splay_head", gettext_lazy("Splay Head")
    SPLAY_SILL = "splay_sill", gettext_lazy("Splay Sill")
    CHECK_WIDTH = "check_width", gettext_lazy("Width, second instrument")
    CHECK_HEIGHT = "check_height", gettext_lazy("Height, second instrument")
    KNOWN_LENGTH = "known_length", gettext_lazy("Rule of known length")


DIAGONALS = (ReadingQuantity.DIAGONAL_RISING, ReadingQuantity.DIAGONAL_FALLING)
CHECKS = (ReadingQuantity.CHECK_WIDTH, ReadingQuantity.CHECK_HEIGHT)
SIZES = (
    ReadingQuantity.WIDTH,
    ReadingQuantity.HEIGHT,
    *DIAGONALS,
    *CHECKS,
    ReadingQuantity.KNOWN_LENGTH,
)
STRAIGHTEDGES = (
    ReadingQuantity.STRAIGHTEDGE_LEFT,
    ReadingQuantity.STRAIGHTEDGE_RIGHT,
    ReadingQuantity.STRAIGHTEDGE_HEAD,
    ReadingQuantity.STRAIGHTEDGE_SILL,
)
SPLAYS = (
    ReadingQuantity.SPLAY_LEFT,
    ReadingQuantity.SPLAY_RIGHT,
    ReadingQuantity.SPLAY_HEAD,
    ReadingQuantity.SPLAY_SILL,
)
WITHOUT_PLACE = (*DIAGONALS, *STRAIGHTEDGES)


class Reading(models.Model):
    """One measured number of a survey, mm. `at` is where, mm; None for a diagonal, and for a
    straightedge, which is laid along a whole side; of a rule of known length it is its length."""

    Quantity = ReadingQuantity

    survey = models.ForeignKey(Survey, on_delete=models.CASCADE, related_name="readings")
    quantity = models.CharField(max_length=18, choices=Quantity.choices)
    at = models.FloatField(null=True)
    value = models.FloatField()

    class Meta:
        # As they were given: a residual names its reading by its place in the list.
        ordering = ("id",)
        constraints = (
            models.UniqueConstraint(
                fields=("survey", "quantity", "at"), name="survey_reading_once_per_place"
            ),
            models.UniqueConstraint(
                fields=("survey", "quantity"),
                condition=Q(at=None) & known("quantity", DIAGONALS),
                name="survey_diagonal_once",
            ),
            models.CheckConstraint(
                condition=~known("quantity", SIZES) | Q(value__gt=0),
                name="survey_sizes_are_positive",
            ),
            models.CheckConstraint(
                condition=Q(at=None) & known("quantity", WITHOUT_PLACE)
                | Q(~known("quantity", WITHOUT_PLACE), at__isnull=False, at__gte=0),
                name="survey_reading_has_a_place",
            ),
            models.CheckConstraint(
                condition=~known("quantity", STRAIGHTEDGES) | Q(value__gte=0),
                name="survey_hump_is_not_negative",
            ),
        )

    def __str__(self) -> str:
        value = number(self.value)
        if self.at is None:
            return _("{quantity}: {value} mm").format(
                quantity=self.get_quantity_display(), value=value
            )
        return _("{quantity} at {place}: {value} mm").format(
            quantity=self.get_quantity_display(), place=number(self.at), value=value
        )

    @property
    def instrument(self) -> Instrument:
        """What it was read with, by what was read."""
        survey = self.survey
        if self.quantity in CHECKS:
            used = survey.check_instrument
        elif self.quantity in (*STRAIGHTEDGES, *SPLAYS):
            used = survey.gap_instrument
        else:
            used = None if self.quantity in SIZES else survey.level_instrument
        return used or survey.instrument


class OfSurveyQuerySet(OfJobQuerySet):
    path_to_job = "survey__opening__job"


class PhotoRecord(Record):
    """A photograph, re-encoded without where it was taken; `sha256` is that of the image.

    Width and height in pixels. What was kept before there were thumbnails has none. `recorded_at`
    is when it was taken, where a phone told.
    """

    image = models.FileField(upload_to="photos/%Y/%m")
    thumbnail = models.FileField(upload_to="photos/%Y/%m", blank=True)
    width = models.PositiveIntegerField(editable=False)
    height = models.PositiveIntegerField(editable=False)
    sha256 = models.CharField(max_length=64, editable=False)
    caption = models.CharField(max_length=160, blank=True)
    one_colour = models.BooleanField(
        default=False, editable=False, help_text="It shows next to nothing."
    )
    recorded_at = models.DateTimeField(null=True, editable=False)
    made_at = models.DateTimeField(
        null=True,
        editable=False,
        help_text="When it was taken by the phone's clock, where that was wrong.",
    )

    may_change: ClassVar = ("caption",)

    class Meta(Record.Meta):
        abstract = True

    @property
    def warnings(self) -> list[str]:
        """What whoever sent it should know; nothing is refused for it."""
        if self.one_colour:
            return [_("the picture is of one colour; was the lens covered? take it again")]
        return []


class Photo(PhotoRecord):
    """A photograph of a survey."""

    survey = models.ForeignKey(Survey, on_delete=models.PROTECT, related_name="photos")

    objects = OfSurveyQuerySet.as_manager()

    def __str__(self) -> str:
        return self.caption or _("photo of {survey}").format(survey=self.survey)

    @property
    def journal_stream(self) -> str:
        return self.survey.journal_stream


class FitDecisionVerdict(models.TextChoices):
    FITS = "fits", gettext_lazy("Fits")
    DOES_NOT_FIT = "does_not_fit", gettext_lazy("does not fit")
    INCONCLUSIVE = "inconclusive", gettext_lazy("Inconclusive")


class FitDecision(Record):
    """Whether a frame fits an opening: the frozen answer of opening-fit, with its inputs."""

    Verdict = FitDecisionVerdict

    survey = models.ForeignKey(Survey, on_delete=models.PROTECT, related_name="fit_decisions")
    doorset = models.ForeignKey(Doorset, on_delete=models.PROTECT, related_name="fit_decisions")
    rule_set = models.ForeignKey(RuleSet, on_delete=models.PROTECT)
    frame_width = models.IntegerField(help_text="mm")
    frame_height = models.IntegerField(help_text="mm")
    inputs = FrozenField(FIT_INPUTS)
    answer = FrozenField(DECIDED_FIT)
    verdict = models.CharField(max_length=12, choices=Verdict.choices)
    probability_fits = models.FloatField()

    objects = OfSurveyQuerySet.as_manager()

    class Meta(Record.Meta):
        constraints = (
            models.CheckConstraint(
                condition=known("verdict", FitDecisionVerdict),
                name="fit_verdict_is_known",
            ),
            models.CheckConstraint(
                condition=Q(probability_fits__gte=0, probability_fits__lte=1),
                name="fit_probability_is_one",
            ),
            models.CheckConstraint(
                condition=Q(frame_width__gt=0, frame_height__gt=0),
                name="decided_frame_is_positive",
            ),
        )

    def __str__(self) -> str:
        size = f"{self.frame_width} x {self.frame_height}"
        return f"{size} mm {self.get_verdict_display()} ({self.probability_fits:.3f})"

    @property
    def journal_stream(self) -> str:
        return self.survey.journal_stream

    @property
    def largest_frame(self) -> WholeSize:
        return self.answer.largest_frame
