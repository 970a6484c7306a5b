"""From the customer to the openings of a job."""

from typing import ClassVar, Self, TypeVar

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from jobs.capabilities import Capability
from jobs.models.people import Person
from jobs.models.record import EVERY_FIELD, PersonalRecord, Record, known

M = TypeVar("M", bound=models.Model)


class CustomerQuerySet(models.QuerySet["Customer"]):
    def visible_to(self, person: Person) -> Self:
        if person.has_capability(Capability.SEE_EVERY_JOB):
            return self
        return self.filter(pk__in=Job.objects.visible_to(person).values("customer"))


class Customer(PersonalRecord):
    """Who the doorset is fitted for; `telephone` in international (E.164) form.

    Since `erased_at` none of this says anything of anybody.
    """

    name = models.CharField(max_length=120)
    email = models.EmailField()
    telephone = models.CharField(max_length=20, blank=True)
    erased_at = models.DateTimeField(null=True, editable=False)

    may_change: ClassVar = EVERY_FIELD
    sealed_fields: ClassVar = ("name", "email", "telephone")
    objects = CustomerQuerySet.as_manager()

    class Meta(PersonalRecord.Meta):
        constraints = (models.CheckConstraint(condition=~Q(name=""), name="customer_has_a_name"),)

    def __str__(self) -> str:
        return self.name


class SiteQuerySet(models.QuerySet["Site"]):
    def visible_to(self, person: Person) -> Self:
        if person.has_capability(Capability.SEE_EVERY_JOB):
            return self
        return self.filter(pk__in=Job.objects.visible_to(person).values("site"))


class Site(PersonalRecord):
    """Where the work is done."""

    address_line_1 = models.CharField(max_length=120)
    address_line_2 = models.CharField(max_length=120, blank=True)
    town = models.CharField(max_length=80)
    postcode = models.CharField(max_length=12)
    access_notes = models.CharField(max_length=500, blank=True)

    may_change: ClassVar = EVERY_FIELD
    sealed_fields: ClassVar = (
        "address_line_1",
        "address_line_2",
        "town",
        "postcode",
        "access_notes",
    )
    objects = SiteQuerySet.as_manager()

    def __str__(self) -> str:
        return self.one_line

    @property
    def one_line(self) -> str:
        parts = (self.address_line_1, self.address_line_2, self.town, self.postcode)
        return ", ".join(part for part in parts if part)


class YearCounter(models.Model):
    """The last number given to a job in a year; numbers are given under its row's lock."""

    year = models.PositiveSmallIntegerField(primary_key=True)
    last_number = models.PositiveIntegerField(default=0)

    may_change: ClassVar = ("last_number",)

    def __str__(self) -> str:
        return f"{self.year}: {self.last_number}"


class JobQuerySet(models.QuerySet["Job"]):
    def visible_to(self, person: Person) -> Self:
        """All, or those with a visit of one's own of a kind that one's role makes."""
        if person.has_capability(Capability.SEE_EVERY_JOB):
            return self
        own = person.visits.filter(kind__in=person.visit_kinds, cancelled_at=None)
        return self.filter(pk__in=own.values("job"))


class Job(Record):
    """One order of work for one customer at one site, decided under one rule set."""

    reference = models.CharField(max_length=12, unique=True, editable=False)
    customer = models.ForeignKey(Customer, on_delete=models.PROTECT, related_name="jobs")
    site = models.ForeignKey(Site, on_delete=models.PROTECT, related_name="jobs")
    rule_set = models.ForeignKey("jobs.RuleSet", on_delete=models.PROTECT, related_name="jobs")
    title = models.CharField(max_length=120)

    may_change: ClassVar = ("title",)
    objects = JobQuerySet.as_manager()

    def __str__(self) -> str:
        return self.reference

    @property
    def journal_stream(self) -> str:
        return f"job:{self.pk}"

    @property
    def job(self) -> "Job":
        return self


class OfJobQuerySet(models.QuerySet[M]):
    """Records that lead to a job by `path_to_job`: they are seen by those who see it."""

    path_to_job = "job"

    def visible_to(self, person: Person) -> Self:
        # Not even asked for whoever sees all: the jobs of the whole firm would be joined.
        if person.has_capability(Capability.SEE_EVERY_JOB):
            return self
        return self.filter(**{f"{self.path_to_job}__in": Job.objects.visible_to(person)})


class OpeningNation(models.TextChoices):
    ENGLAND = "england", gettext_lazy("England")
    WALES = "wales", gettext_lazy("Wales")
    SCOTLAND = "scotland", gettext_lazy("Scotland")
    NORTHERN_IRELAND = "northern_ireland", gettext_lazy("Northern Ireland")


class OpeningWork(models.TextChoices):
    NEW_DWELLING = "new_dwelling", gettext_lazy("new dwelling")
    REPLACEMENT = "replacement", gettext_lazy("replacement in an existing dwelling")
    MATERIAL_ALTERATION = "material_alteration", gettext_lazy("material alteration of a dwelling")


class OpeningQuerySet(OfJobQuerySet["Opening"]):
    def wanted(self) -> Self:
        """Those that take a doorset of the job: not left out of it."""
        return self.filter(left_out_at=None)


class Opening(Record):
    """A structural opening that takes a doorset. Left and right are always seen from outside.

    `nation` and `work` say whose building regulations count and what they are asked for, empty
    where nobody said; `existing_upstand` is that of the threshold that is replaced. One that is
    left out of the job keeps its records and holds nothing up.
    """

    Nation = OpeningNation

    Work = OpeningWork

    job = models.ForeignKey(Job, on_delete=models.PROTECT, related_name="openings")
    number = models.PositiveSmallIntegerField()
    name = models.CharField(max_length=80)
    nation = models.CharField(max_length=16, choices=Nation.choices, blank=True)
    work = models.CharField(max_length=19, choices=Work.choices, blank=True)
    existing_upstand = models.FloatField(null=True, help_text="mm above the finished floor")
    left_out_at = models.DateTimeField(null=True, editable=False)
    left_out_because = models.CharField(max_length=300, blank=True, editable=False)

    may_change: ClassVar = (
        "name",
        "nation",
        "work",
        "existing_upstand",
        "left_out_at",
        "left_out_because",
    )
    objects = OpeningQuerySet.as_manager()

    class Meta(Record.Meta):
        constraints = (
            models.UniqueConstraint(fields=("job", "number"), name="opening_number_once_per_job"),
            models.CheckConstraint(condition=Q(number__gte=1), name="opening_numbers_start_at_1"),
            models.CheckConstraint(
                condition=(Q(nation="") | known("nation", OpeningNation))
                & (Q(work="") | known("work", OpeningWork)),
                name="opening_choices_are_known",
            ),
            models.CheckConstraint(
                condition=Q(existing_upstand=None) | Q(existing_upstand__gte=0),
                name="opening_existing_upstand_is_not_negative",
            ),
        )

    def __str__(self) -> str:
        text = _("{reference} opening {number}: {name}")
        return text.format(reference=self.job.reference, number=self.number, name=self.name)

    @property
    def journal_stream(self) -> str:
        return self.job.journal_stream
