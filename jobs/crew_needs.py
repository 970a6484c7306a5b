"""What a fitting asks of its crew, and whether a crew that is booked is too small for it.

This floor books crews and knows nothing of lifting. Whoever works that out on a floor above answers
through `answer_with`, once, when its app is ready. A warning never refuses a booking: a lifting aid
or more people may come by another way, and the office knows.
"""

from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from uuid import UUID

from django.utils.translation import gettext as _

from jobs.figures import number
from jobs.models import Job, Visit
from jobs.translation import translated


@dataclass(frozen=True, slots=True)
class CrewNeed:
    """The heaviest thing that is lifted in one go at an opening, by its number; kg. `people` that
    it takes, None where no team lifts it."""

    opening: int
    what: str
    mass: float
    people: int | None

    @property
    def in_words(self) -> str:
        """Without the number of its opening."""
        text = _("{what}, about {mass} kg: {people} people or a lifting aid")
        if self.people is None:
            text = _("{what}, about {mass} kg: a lifting aid, no team lifts it")
        return text.format(**self._values)

    def warning(self, booked: int) -> str | None:
        """What is wrong with a crew of so many; None where nothing is."""
        if self.people is not None and booked >= self.people:
            return None
        text = _(
            "Opening {opening}: the crew is too small. {booked} are booked, and the {what}, "
            "about {mass} kg, takes {people} people or a lifting aid."
        )
        if self.people is None:
            text = _(
                "Opening {opening}: book a lifting aid with the crew. No team lifts the {what}, "
                "about {mass} kg."
            )
        return text.format(booked=booked, **self._values)

    @property
    def _values(self) -> dict[str, object]:
        return {
            "opening": self.opening,
            "what": translated(self.what),
            "mass": number(round(self.mass)),
            "people": self.people,
        }


NeedsOf = Callable[[Collection[Job]], Mapping[UUID, Sequence[CrewNeed]]]
_answers: list[NeedsOf] = []


def answer_with(needs_of: NeedsOf) -> None:
    """Register what knows the needs of jobs, by the key of each job."""
    _answers.append(needs_of)


def needs_of(jobs: Iterable[Job]) -> dict[UUID, list[CrewNeed]]:
    """Of each job, opening by opening."""
    asked = list(jobs)
    answers = [answer(asked) for answer in _answers] if asked else []
    return {
        job.pk: [need for answer in answers for need in answer.get(job.pk, ())] for job in asked
    }


def crew_warnings(visits: Iterable[Visit]) -> dict[UUID, list[str]]:
    """By visit; only a crew that is to fit something can be too small for it. Join
    `job__rule_set` and `people` where there are several."""
    fittings = [visit for visit in visits if _lifts(visit)]
    needs = needs_of({visit.job_id: visit.job for visit in fittings}.values())
    return {
        visit.pk: _warnings(needs[visit.job_id], booked=len(visit.people.all()))
        for visit in fittings
    }


def _lifts(visit: Visit) -> bool:
    return visit.kind == Visit.Kind.FITTING and visit.cancelled_at is None


def _warnings(needs: Iterable[CrewNeed], booked: int) -> list[str]:
    warnings = (need.warning(booked) for need in needs)
    return [warning for warning in warnings if warning]
