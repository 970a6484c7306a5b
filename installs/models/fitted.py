"""What was fitted: fixings, gaps at the junctions of leaves, sashes."""

from typing import ClassVar

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from installs.arithmetic.glazing_plan import out_of_square
from installs.models.inspections import InspectionOutcome
from installs.models.plan import Installation, OfInstallationQuerySet, RecordedOnSite
from jobs.arithmetic.glass_marks import MarkShortfall, mark_shortfalls
from jobs.arithmetic.glazing import read_glazing
from jobs.code_labels import code_label
from jobs.figures import number
from jobs.frozen import FrozenField
from jobs.models import Person, Record, known
from surveys.frozen import INSTRUMENT_THEN
from surveys.models import Instrument


class FixingMember(models.TextChoices):
    LEFT = "left", gettext_lazy("Left")
    RIGHT = "right", gettext_lazy("Right")
    HEAD = "head", gettext_lazy("Head")
    SILL = "sill", gettext_lazy("Sill")


class FixingKind(models.TextChoices):
    FRAME_SCREW = "frame_screw", gettext_lazy("frame screw")
    STRAP = "strap", gettext_lazy("Strap")
    BRACKET = "bracket", gettext_lazy("Bracket")
    FOAM_ONLY = "foam_only", gettext_lazy("foam only")


class Fixing(RecordedOnSite, Record):
    """One fixing as it was made: `position` in mm from the member's left or foot end."""

    Member = FixingMember

    Kind = FixingKind

    installation = models.ForeignKey(Installation, on_delete=models.PROTECT, related_name="fixings")
    member = models.CharField(max_length=5, choices=Member.choices)
    position = models.FloatField(help_text="mm")
    kind = models.CharField(max_length=11, choices=Kind.choices)
    packers = models.JSONField(help_text="mm of each packer beside it")
    fitter = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="+")

    objects = OfInstallationQuerySet.as_manager()

    class Meta(Record.Meta):
        constraints = (
            models.UniqueConstraint(
                fields=("installation", "member", "position", "kind"),
                name="fixing_once_per_position",
            ),
            models.CheckConstraint(
                condition=Q(position__gte=0)
                & known("member", FixingMember)
                & known("kind", FixingKind),
                name="fixing_is_known",
            ),
        )

    def __str__(self) -> str:
        return _("{kind} at {position} mm of the {member}").format(
            kind=self.get_kind_display(),
            position=number(self.position),
            member=code_label(self.member),
        )

    @property
    def is_mechanical(self) -> bool:
        return self.kind != self.Kind.FOAM_ONLY

    @property
    def journal_stream(self) -> str:
        return self.installation.journal_stream


class JunctionGap(RecordedOnSite, Record):
    """Gaps read at a junction of leaves, mm; the newest pair counts, the older ones stay."""

    installation = models.ForeignKey(Installation, on_delete=models.PROTECT, related_name="gaps")
    junction = models.PositiveSmallIntegerField()
    head_gap = models.FloatField(help_text="mm")
    sill_gap = models.FloatField(help_text="mm")
    instrument = models.ForeignKey(Instrument, null=True, on_delete=models.PROTECT)
    fitter = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="+")
    measured_with = FrozenField(
        INSTRUMENT_THEN,
        null=True,
        editable=False,
        help_text="The instrument as it was when it was read.",
    )
    standard_uncertainty = models.FloatField(help_text="mm, of the difference of the two gaps")
    limit = models.FloatField(help_text="mm, greatest difference of the two gaps")
    leaf_gap = models.FloatField(null=True, help_text="mm, what each gap is meant to be")
    together_limit = models.FloatField(
        null=True, help_text="mm, what both together may be off twice the leaf gap"
    )
    temperature = models.FloatField(null=True, help_text="C, of the leaves when it was read")
    probability_conforms = models.FloatField()
    decision = models.CharField(max_length=12)

    objects = OfInstallationQuerySet.as_manager()

    class Meta(Record.Meta):
        constraints = (
            models.CheckConstraint(
                condition=Q(head_gap__gte=0, sill_gap__gte=0)
                & known("decision", InspectionOutcome),
                name="gap_is_judged",
            ),
        )

    def __str__(self) -> str:
        return _("junction {junction}: head {head}, sill {sill} mm").format(
            junction=self.junction, head=number(self.head_gap), sill=number(self.sill_gap)
        )

    @property
    def journal_stream(self) -> str:
        return self.installation.journal_stream


class SashRecord(RecordedOnSite, Record):
    """What was done to one sash: blocks, brace, glass marking, and its diagonals where measured."""

    installation = models.ForeignKey(Installation, on_delete=models.PROTECT, related_name="sashes")
    leaf = models.PositiveSmallIntegerField()
    blocks_set = models.BooleanField()
    brace_set = models.BooleanField()
    glass_marking = models.CharField(max_length=80)
    rising_diagonal = models.FloatField(null=True, help_text="mm, bottom left to top right")
    falling_diagonal = models.FloatField(null=True, help_text="mm")
    fitter = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="+")

    may_change: ClassVar = (
        "blocks_set",
        "brace_set",
        "glass_marking",
        "rising_diagonal",
        "falling_diagonal",
        "fitter",
    )
    objects = OfInstallationQuerySet.as_manager()

    class Meta(Record.Meta):
        constraints = (
            models.UniqueConstraint(fields=("installation", "leaf"), name="sash_record_once"),
            models.CheckConstraint(condition=Q(leaf__gte=1), name="sashes_start_at_1"),
        )

    def __str__(self) -> str:
        return _("sash {leaf}").format(leaf=self.leaf)

    @property
    def is_complete(self) -> bool:
        done = self.blocks_set and self.brace_set and bool(self.glass_marking)
        return done and not self.mark_shortfalls and not self.out_of_square

    @property
    def out_of_square(self) -> float:
        """mm by which its diagonals differ, where that is more than allowed; else 0."""
        limit = self.installation.rule_set.rules["sash.diagonal_difference"]
        return out_of_square(self.rising_diagonal, self.falling_diagonal, limit)

    @property
    def mark_shortfalls(self) -> tuple[MarkShortfall, ...]:
        """Panes whose marking, as it was read, does not show the glass that was ordered."""
        doorset = self.installation.doorset
        glass = doorset.calculation.safety_glazing
        needed = next((leaf.required_class for leaf in glass if leaf.leaf == self.leaf), "")
        return mark_shortfalls(self.glass_marking, read_glazing(doorset.glazing), needed)

    @property
    def journal_stream(self) -> str:
        return self.installation.journal_stream
