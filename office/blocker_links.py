"""Where something that stands in the way is dealt with, and where it can be accepted as it is."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any
from urllib.parse import urlencode
from uuid import UUID

from django.urls import reverse

from installs.models import Bead, Defect, Installation, PlanStep, SashRecord
from jobs.blockers import Named, Page
from jobs.capabilities import Capability
from jobs.errors import Blocker
from jobs.models import Delivery, Doorset, Job, Person, Visit
from surveys.models import FitDecision, Survey


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
        return {
            gate: [self._of(blocker) for blocker in blockers] for gate, blockers in gates.items()
        }

    def _of(self, blocker: Blocker) -> InTheWay:
        pages = blocker.kind.condition.pages
        addresses = (self._address(page, blocker.record["id"]) for page in pages)
        return InTheWay(blocker, next(filter(None, addresses), ""), self._concession(blocker))

    def _address(self, page: Page, about: str) -> str:
        """Empty where the person has no such page, or the record with the id `about` has none."""
        if not self.person.has_capability(page.needs):
            return ""
        names = [self._name(named, about) for named in page.names]
        return reverse(page.route, args=names) + page.query if all(names) else ""

    def _name(self, named: Named, about: str) -> Any:
        """None where the record with the id `about` has nothing of the kind."""
        names: dict[Named, Callable[[], Any]] = {
            Named.JOB: lambda: self.job.reference,
            Named.OPENING: lambda: self._opening_numbers.get(about),
            Named.SURVEY: lambda: self._surveys.get(about),
            Named.FITTING_VISIT: lambda: self._fitting_visit and self._fitting_visit.pk,
            Named.DOORSET: lambda: self._doorsets.get(about),
            Named.FITTING: lambda: self._fittings.get(about),
            Named.STEP: lambda: self._step_numbers.get(about),
            Named.DEFECT: lambda: about,
        }
        return names[named]()

    def _concession(self, blocker: Blocker) -> str:
        if not blocker.concedable or not self.person.has_capability(Capability.CONCEDE):
            return ""
        about = blocker.record["kind"], blocker.record["id"]
        address = reverse("grant-concession", args=[self.job.reference, *about, blocker.code])
        return f"{address}?{urlencode({'place': blocker.place})}" if blocker.place else address

    @cached_property
    def _opening_numbers(self) -> dict[str, int]:
        """Number of its opening, by the id of everything before the fitting."""
        numbers = {str(pk): n for pk, n in self.job.openings.values_list("pk", "number")}
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
            numbers |= {str(pk): number for pk, number in records}
        return numbers

    @cached_property
    def _surveys(self) -> dict[str, UUID]:
        """The survey, by the id of itself and of every decision made from it."""
        surveys = Survey.objects.filter(opening__job=self.job).values_list("pk", "pk")
        decisions = FitDecision.objects.filter(survey__opening__job=self.job)
        made_from = decisions.values_list("pk", "survey_id")
        return {str(pk): survey for pk, survey in (*surveys, *made_from)}

    @cached_property
    def _doorsets(self) -> dict[str, UUID]:
        """The current ones, by the id of their opening."""
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
        ids = {str(pk): pk for pk in fittings.values_list("pk", flat=True)}
        for model in (PlanStep, Defect, Bead, SashRecord):
            records = model.objects.filter(installation__in=fittings)
            ids |= {str(pk): at for pk, at in records.values_list("pk", "installation_id")}
        return ids
