"""A week of visits as the diary shows it: by day, within a day by crew."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from itertools import groupby
from uuid import UUID

from django.utils import timezone

from jobs.models import Crew, Visit
from office.readiness import Missing
from office.views.days import begin_of

DAYS_OF_WEEK = 7


@dataclass(frozen=True, slots=True)
class Known:
    """By visit: what it still lacks, and whether its crew is too small for what it is to lift."""

    missing: Mapping[UUID, Sequence[Missing]]
    warnings: Mapping[UUID, Sequence[str]]


@dataclass(frozen=True, slots=True)
class Booking:
    """A visit on one of the days that it goes over, the first being day 1."""

    visit: Visit
    day: int
    days: int
    missing: Sequence[Missing]
    warnings: Sequence[str]

    @property
    def is_over(self) -> bool:
        return self.visit.end <= timezone.now()


@dataclass(frozen=True, slots=True)
class CrewDay:
    crew: Crew
    bookings: list[Booking]


@dataclass(frozen=True, slots=True)
class Day:
    on: date
    crews: list[CrewDay] = field(default_factory=list)

    @property
    def is_today(self) -> bool:
        return self.on == timezone.localdate()


@dataclass(frozen=True, slots=True)
class Week:
    """Seven days from `first` on."""

    first: date

    @property
    def begin(self) -> datetime:
        return begin_of(self.first)

    @property
    def end(self) -> datetime:
        return begin_of(self.later)

    @property
    def last(self) -> date:
        return self.later - timedelta(days=1)

    @property
    def earlier(self) -> date:
        return self.first - timedelta(days=DAYS_OF_WEEK)

    @property
    def later(self) -> date:
        return self.first + timedelta(days=DAYS_OF_WEEK)

    def days(self, visits: Iterable[Visit], known: Known) -> list[Day]:
        """All seven, with the bookings of each; `visits` ordered by name of crew, then start."""
        visits = list(visits)
        dates = [self.first + timedelta(days=n) for n in range(DAYS_OF_WEEK)]
        return [Day(on, list(_crews(on, visits, known))) for on in dates]


def this_week() -> Week:
    """From the Monday before, or from today where it is one."""
    today = timezone.localdate()
    return Week(today - timedelta(days=today.weekday()))


def _crews(on: date, visits: Iterable[Visit], known: Known) -> Iterator[CrewDay]:
    of_the_day = [visit for visit in visits if _first_day(visit) <= on <= _last_day(visit)]
    for crew, booked in groupby(of_the_day, key=lambda visit: visit.crew):
        yield CrewDay(crew, [_booking(on, visit, known) for visit in booked])


def _booking(on: date, visit: Visit, known: Known) -> Booking:
    first, last = _first_day(visit), _last_day(visit)
    day, days = (on - first).days + 1, (last - first).days + 1
    missing, warnings = known.missing.get(visit.pk, ()), known.warnings.get(visit.pk, ())
    return Booking(visit, day, days, missing, warnings)


def _first_day(visit: Visit) -> date:
    return timezone.localdate(visit.start)


def _last_day(visit: Visit) -> date:
    """One that ends at midnight is not there on the day after."""
    return timezone.localdate(visit.end - timedelta(microseconds=1))
