"""Where something that stands in the way is dealt with, and where it can be accepted as it is."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from uuid import UUID

from django.urls import reverse

from installs.models import Bead, Defect, Installation, PlanStep, SashRecord
from jobs.capabilities import Capability
from jobs.errors import Blocker
from jobs.models import Delivery, Doorset, Job, Person, Visit
from surveys.models import FitDecision, Survey

Page = tuple[str, Capability]

# By code of the blocker: the page of the job on which it is dealt with, and what that asks for.
OF_JOB: dict[str, Page] = {
    "opening": ("add-opening", Capability.MANAGE_JOBS),
    "handover": ("handover", Capability.RECORD_FITTING),
    "return_visit": ("book-visit", Capability.BOOK),
}
# The same for pages of an opening.
OF_OPENING: dict[str, Page] = {
    "doorset": ("doorset", Capability.MANAGE_JOBS),
    "profile_limit": ("doorset", Capability.MANAGE_JOBS),
    "unsafe_glass": ("doorset", Capability.MANAGE_JOBS),
    "order": ("order-doorset", Capability.ORDER),
    "delivery": ("record-delivery", Capability.RECORD_FITTING),
    "delivered_size": ("record-delivery", Capability.RECORD_FITTING),
    "leaves": ("record-delivery", Capability.RECORD_FITTING),
    "survey": ("survey-opening", Capability.MEASURE),
    "calibration": ("survey-opening", Capability.MEASURE),
    "asbestos": ("survey-opening", Capability.MEASURE),
    "fit": ("survey-opening", Capability.MEASURE),
    "survey_before_removal": ("survey-opening", Capability.MEASURE),
}
# What is dealt with where an earlier survey is shown, if the blocker is about one.
SHOWN_WITH_SURVEY = {"survey", "fit"}


@dataclass(frozen=True, slots=True)
class InTheWay:
    """A blocker with two addresses, each empty where whoever looks has no such page: where it is
    dealt with, and where it is accepted as it is."""

    blocker: Blocker
    address: str
    concession: str


class Places:
    """The addresses for the blockers of one job, as far as a person may act there.

    The records that a blocker may be about are read once for all of them.
    """

    def __init__(self, person: Person, job: Job) -> None:
        self.person = person
        self.job = job

    def of_gates(self, gates: Mapping[str, Sequence[Blocker]]) -> dict[str, list[InTheWay]]:
        return {gate: [self._of(blocker) for blocker in found] for gate, found in gates.items()}

    def _of(self, blocker: Blocker) -> InTheWay:
        address = self._in_job(blocker) or self._in_opening(blocker) or self._in_fitting(blocker)
        return InTheWay(blocker, address, self._concession(blocker))

    def _in_job(self, blocker: Blocker) -> str:
        if blocker.code == "installation":
            return self._planning(blocker)
        page = self._open_page(OF_JOB, blocker)
        if not page:
            return ""
        wanted = "?kind=return" if blocker.code == "return_visit" else ""
        return reverse(page, args=[self.job.reference]) + wanted

    def _open_page(self, pages: Mapping[str, Page], blocker: Blocker) -> str:
        """Name of the address; empty where there is none, or none that this person may open."""
        name, capability = pages.get(blocker.code, ("", None))
        return name if capability and self.person.has_capability(capability) else ""

    def _planning(self, blocker: Blocker) -> str:
        """A fitting is planned for a visit, so that is booked first."""
        doorset = self._current_doorsets.get(blocker.record["id"])
        fits = self.person.has_capability(Capability.RECORD_FITTING)
        if fits and doorset and self._fitting_visit:
            return reverse("plan-fitting", args=[self._fitting_visit.pk, doorset])
        if self.person.has_capability(Capability.BOOK):
            return reverse("book-visit", args=[self.job.reference]) + "?kind=fitting"
        return ""

    def _in_opening(self, blocker: Blocker) -> str:
        page = self._open_page(OF_OPENING, blocker)
        about = blocker.record["id"]
        number = self._opening_numbers.get(about)
        if not page or number is None:
            return ""
        survey = self._surveys.get(about) if blocker.code in SHOWN_WITH_SURVEY else None
        if survey:
            return reverse("survey-result", args=[self.job.reference, number, survey])
        return reverse(page, args=[self.job.reference, number])

    def _in_fitting(self, blocker: Blocker) -> str:
        about = blocker.record["id"]
        fitting = self._fittings.get(about)
        if fitting is None or not self.person.has_capability(Capability.RECORD_FITTING):
            return ""
        if about in self._step_numbers:
            return reverse("fitting-step", args=[fitting, self._step_numbers[about]])
        if blocker.record["kind"] == "defect":
            return reverse("fitting-defect", args=[fitting, about])
        return reverse("fitting", args=[fitting])

    def _concession(self, blocker: Blocker) -> str:
        if not blocker.concedable or not self.person.has_capability(Capability.CONCEDE):
            return ""
        about = blocker.record["kind"], blocker.record["id"]
        return reverse("grant-concession", args=[self.job.reference, *about, blocker.code])

    @cached_property
    def _opening_numbers(self) -> dict[str, int]:
        """Number of its opening, by the id of everything before the fitting."""
        found = {str(pk): n for pk, n in self.job.openings.values_list("pk", "number")}
        for records in (
            Doorset.objects.filter(opening__job=self.job).values_list("pk", "opening__number"),
            Survey.objects.filter(opening__job=self.job).values_list("pk", "opening__number"),
            Delivery.objects.filter(doorset__opening__job=self.job).values_list(
                "pk", "doorset__opening__number"
            ),
            FitDecision.objects.filter(doorset__opening__job=self.job).values_list(
                "pk", "doorset__opening__number"
            ),
        ):
            found |= {str(pk): number for pk, number in records}
        return found

    @cached_property
    def _surveys(self) -> dict[str, UUID]:
        """The survey, by the id of itself and of every decision made from it."""
        surveys = Survey.objects.filter(opening__job=self.job).values_list("pk", "pk")
        decisions = FitDecision.objects.filter(survey__opening__job=self.job)
        made_from = decisions.values_list("pk", "survey_id")
        return {str(pk): survey for pk, survey in (*surveys, *made_from)}

    @cached_property
    def _current_doorsets(self) -> dict[str, UUID]:
        """By the id of their opening."""
        current = Doorset.objects.current().filter(opening__job=self.job)
        return {str(opening): pk for opening, pk in current.values_list("opening_id", "pk")}

    @cached_property
    def _fitting_visit(self) -> Visit | None:
        visits = Visit.objects.visible_to(self.person).not_cancelled().filter(job=self.job)
        return visits.filter(kind=Visit.Kind.FITTING).order_by("-start").first()

    @cached_property
    def _step_numbers(self) -> dict[str, int]:
        steps = PlanStep.objects.filter(installation__doorset__opening__job=self.job)
        return {str(pk): number for pk, number in steps.values_list("pk", "number")}

    @cached_property
    def _fittings(self) -> dict[str, UUID]:
        """The fitting, by the id of itself and of everything recorded at it."""
        fittings = Installation.objects.filter(doorset__opening__job=self.job)
        found = {str(pk): pk for pk in fittings.values_list("pk", flat=True)}
        for model in (PlanStep, Defect, Bead, SashRecord):
            records = model.objects.filter(installation__in=fittings)
            found |= {str(pk): at for pk, at in records.values_list("pk", "installation_id")}
        return found
