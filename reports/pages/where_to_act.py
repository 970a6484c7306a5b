"""Where something that stands in the way is dealt with, and where it can be accepted as it is."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from django.urls import reverse

from installs.models import Installation
from jobs.models import Delivery, Doorset, Job, Opening, Person, Role
from jobs.refusals import Blocker
from surveys.models import FitDecision, Survey

# By code of the blocker: the page of its opening on which somebody in one of the roles acts.
SURVEYING = ("survey-opening", (Role.OFFICE, Role.SURVEYOR, Role.FITTER))
ORDERING = ("doorset", (Role.OFFICE,))
PAGE_OF_OPENING: dict[str, tuple[str, tuple[str, ...]]] = {
    "doorset": ORDERING,
    "profile_limit": ORDERING,
    "unsafe_glass": ORDERING,
    "order": ORDERING,
    "survey": SURVEYING,
    "calibration": SURVEYING,
    "asbestos": SURVEYING,
    "fit": SURVEYING,
    "survey_before_removal": SURVEYING,
}


@dataclass(frozen=True, slots=True)
class InTheWay:
    """A blocker with two addresses, each empty where whoever looks has no such page: where it is
    dealt with, and where it is accepted as it is."""

    blocker: Blocker
    address: str
    concession: str


class Places:
    """The addresses for the blockers of one job, as far as a person may act there."""

    def __init__(self, person: Person, job: Job) -> None:
        self.person = person
        self.job = job

    def of_gates(self, gates: Mapping[str, Sequence[Blocker]]) -> dict[str, list[InTheWay]]:
        return {gate: [self._of(blocker) for blocker in found] for gate, found in gates.items()}

    def _of(self, blocker: Blocker) -> InTheWay:
        return InTheWay(blocker, self._address(blocker), self._concession(blocker))

    def _address(self, blocker: Blocker) -> str:
        if blocker.code == "opening" and self._is_office:
            return reverse("add-opening", args=[self.job.reference])
        if blocker.code == "return_visit" and self._is_office:
            return f"{reverse('book-visit', args=[self.job.reference])}?kind=return"
        page, roles = PAGE_OF_OPENING.get(blocker.code, ("", ()))
        number = self._opening_numbers.get(blocker.record["id"])
        if number is None or not self.person.acts_as(*roles):
            return ""
        return reverse(page, args=[self.job.reference, number])

    def _concession(self, blocker: Blocker) -> str:
        if not blocker.concedable or not self._is_office:
            return ""
        about = blocker.record["kind"], blocker.record["id"]
        return reverse("grant-concession", args=[self.job.reference, *about, blocker.code])

    @cached_property
    def _is_office(self) -> bool:
        return self.person.acts_as(Role.OFFICE)

    @cached_property
    def _opening_numbers(self) -> dict[str, int]:
        """Number of its opening, by the id of every record that such a blocker may be about."""
        found: dict[str, int] = {}
        for model, way in (
            (Opening, ""),
            (Doorset, "opening__"),
            (Survey, "opening__"),
            (Delivery, "doorset__opening__"),
            (FitDecision, "doorset__opening__"),
            (Installation, "doorset__opening__"),
        ):
            records: Any = model._default_manager.filter(**{f"{way}job": self.job})
            found |= {str(pk): n for pk, n in records.values_list("pk", f"{way}number")}
        return found
