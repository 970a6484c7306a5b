"""The fitting of a doorset and its frozen plan."""

from typing import Any, ClassVar

from django.db import models
from django.utils.translation import gettext as _

from installs.frozen import FITTING_PLAN
from jobs.frozen import FrozenField
from jobs.models import Doorset, Job, OfJobQuerySet, Record, RuleSet, Visit, known
from jobs.translation import translated


class InstallationQuerySet(OfJobQuerySet["Installation"]):
    path_to_job = "doorset__opening__job"


class Installation(Record):
    """The fitting of one doorset. `plan` is frozen: fixing layout with packers, sashes, junctions,
    cautions, and the rule set it was made under."""

    doorset = models.OneToOneField(Doorset, on_delete=models.PROTECT, related_name="installation")
    visit = models.ForeignKey(Visit, on_delete=models.PROTECT, related_name="installations")
    rule_set = models.ForeignKey(RuleSet, on_delete=models.PROTECT)
    plan = FrozenField(FITTING_PLAN, editable=False)
    replanned_because = models.CharField(max_length=500, blank=True, editable=False)

    parts: ClassVar = {"steps": "number"}
    may_change: ClassVar = ("plan", "replanned_because")
    objects = InstallationQuerySet.as_manager()

    def __str__(self) -> str:
        return _("fitting of {doorset}").format(doorset=self.doorset)

    @property
    def job(self) -> Job:
        return self.doorset.opening.job

    @property
    def journal_stream(self) -> str:
        return self.job.journal_stream


class RecordedOnSite(models.Model):
    """What somebody recorded on site, perhaps long before their phone could send it.

    `recorded_at` is evidence by the phone's clock; the service orders records by its own,
    `created_at`.
    """

    recorded_at = models.DateTimeField(null=True, editable=False)

    class Meta:
        abstract = True


class OfInstallationQuerySet(OfJobQuerySet):
    path_to_job = "installation__doorset__opening__job"


class PlanStepPhase(models.TextChoices):
    PREPARE = "prepare"
    REMOVAL = "removal"
    SETTING = "setting"
    FIXING = "fixing"
    GLAZING = "glazing"
    FINISHING = "finishing"
    HANDOVER = "handover"


class PlanStep(Record):
    """One step of the plan: what is done, what evidence it wants, and which limits decide it.

    `criteria` maps the name of what is judged to the fields of
    `installs.arithmetic.criteria.Criterion`, its limits and how it follows from readings:
    `{"diagonal_difference": {"lower": -2.0, "upper": 2.0, "unit": "mm", "source": "...",
    "method": "difference", "of": ["rising", "falling"], ...}}`.
    """

    Phase = PlanStepPhase

    installation = models.ForeignKey(Installation, on_delete=models.PROTECT, related_name="steps")
    number = models.PositiveSmallIntegerField()
    code = models.CharField(max_length=40)
    title = models.CharField(max_length=160)
    phase = models.CharField(max_length=9, choices=Phase.choices)
    hold_point = models.BooleanField()
    evidence = models.JSONField(help_text="Any of reading, count, checks, acknowledgement, photo.")
    criteria = models.JSONField(default=dict)
    checks = models.JSONField(default=dict, help_text="What is looked at, in words, by its name.")
    order = models.JSONField(
        default=list, help_text="Names of criteria and checks as they are worked through."
    )
    caution = models.CharField(max_length=600, blank=True)
    # What the step is, as it was drafted: see `installs.plan.draft.StepDraft`.
    critical = models.BooleanField(default=False)
    gates = models.JSONField(default=list, help_text="Gates that wait for it.")
    register = models.CharField(
        max_length=20, blank=True, help_text="What is on record before it can pass."
    )
    on_the_map = models.CharField(
        max_length=20, blank=True, help_text="What is entered on the map before it is recorded."
    )
    asks = models.JSONField(default=list, help_text="Fields that it asks for beside its evidence.")
    instruments = models.JSONField(
        default=list, help_text="Kinds that can read it; any where there are none."
    )

    may_be_deleted: ClassVar = True
    objects = OfInstallationQuerySet.as_manager()

    class Meta(Record.Meta):
        constraints = (
            models.UniqueConstraint(fields=("installation", "number"), name="step_number_once"),
            models.UniqueConstraint(fields=("installation", "code"), name="step_code_once"),
            models.CheckConstraint(
                condition=known("phase", PlanStepPhase),
                name="step_phase_is_known",
            ),
        )

    def __str__(self) -> str:
        return _("step {number}, {title}").format(number=self.number, title=translated(self.title))

    def in_order(self, named: dict[str, Any]) -> dict[str, Any]:
        """Criteria or checks as they are worked through: a database may turn the keys of an object
        about."""
        return {name: named[name] for name in self.order if name in named}

    @property
    def job(self) -> Job:
        return self.installation.job

    @property
    def journal_stream(self) -> str:
        return self.installation.journal_stream
