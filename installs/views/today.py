"""The days of somebody on site: their visits, and what is to be done at each opening."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta
from itertools import groupby
from typing import Any
from uuid import UUID

from django.db.models import OuterRef, Prefetch, QuerySet, Subquery
from django.utils import timezone
from django.utils.dateformat import format as write_date
from django.utils.translation import gettext as _

from installs.models import Concession, Inspection, Installation, PlanStep
from jobs.crew_needs import crew_warnings
from jobs.models import Doorset, Opening, Person, Visit

DAYS_AHEAD = 14
PASS = Inspection.Outcome.PASS


@dataclass(frozen=True, slots=True)
class Progress:
    """How far a fitting has come; `following` is the next step, None once all passed."""

    done: int
    count: int
    following: PlanStep | None


@dataclass(frozen=True, slots=True)
class Place:
    """An opening with its current doorset, and the fitting of it once that is planned."""

    opening: Opening
    doorset: Doorset | None
    fitting: Installation | None
    progress: Progress | None


@dataclass(frozen=True, slots=True)
class Call:
    """A visit with the places that it is made for."""

    visit: Visit
    places: list[Place]
    warnings: list[str]


@dataclass(frozen=True, slots=True)
class Day:
    on: date
    calls: list[Call] = field(default_factory=list)

    @property
    def name(self) -> str:
        today = timezone.localdate()
        near = {today: _("Today"), today + timedelta(days=1): _("Tomorrow")}
        return near.get(self.on) or write_date(self.on, "l")


def days_of(person: Person) -> list[Day]:
    """Today, even when it is empty, and the days ahead that hold a visit of the person."""
    visits = list(_visits(person))
    progress = progress_of(_fittings(visits))
    warnings = crew_warnings(visits)
    calls = [Call(v, _places(v, progress), warnings.get(v.pk, [])) for v in visits]
    by_day = {on: Day(on, list(of_day)) for on, of_day in groupby(calls, key=_day)}
    today = timezone.localdate()
    return [by_day.pop(today, Day(today)), *by_day.values()]


def progress_of(fittings: Iterable[Installation]) -> Mapping[UUID, Progress]:
    """By fitting. What was conceded since its inspection counts as passed."""
    keys = [fitting.pk for fitting in fittings]
    newest = Inspection.objects.filter(step=OuterRef("pk")).order_by("-created_at", "-id")
    steps = (
        PlanStep.objects.filter(installation__in=keys)
        .annotate(
            outcome=Subquery(newest.values("outcome")[:1]),
            newest_inspection=Subquery(newest.values("pk")[:1]),
        )
        .order_by("installation_id", "number")
    )
    accepted = _accepted_steps(keys)
    return {
        key: _progress(list(of_fitting), accepted)
        for key, of_fitting in groupby(steps, key=lambda step: step.installation_id)
    }


def _accepted_steps(fittings: list[UUID]) -> set[UUID]:
    """Inspections of which somebody has accepted all that they fell short at."""
    accepted: dict[tuple[UUID | None, str], list[datetime]] = {}
    for concession in Concession.objects.filter(installation__in=fittings, step__isnull=False):
        key = (concession.step_id, concession.place)
        accepted.setdefault(key, []).append(concession.created_at)
    steps = {step for step, _place in accepted}
    if not steps:
        return set()
    inspections = Inspection.objects.filter(step__in=steps).exclude(outcome=PASS)
    of_steps = inspections.select_related("step").prefetch_related("readings")
    return {
        inspection.pk
        for inspection in of_steps
        if all(
            any(at >= inspection.created_at for at in accepted.get((inspection.step_id, place), ()))
            for place in inspection.short_places
        )
    }


def _progress(steps: list[PlanStep], accepted: set[UUID]) -> Progress:
    left = [step for step in steps if not _passed(step, accepted)]
    return Progress(len(steps) - len(left), len(steps), left[0] if left else None)


def _passed(step: Any, accepted: set[UUID]) -> bool:
    return step.outcome == PASS or step.newest_inspection in accepted


def _visits(person: Person) -> QuerySet[Visit]:
    begin = timezone.make_aware(datetime.combine(timezone.localdate(), time.min))
    end = begin + timedelta(days=DAYS_AHEAD)
    own = Visit.objects.visible_to(person).not_cancelled().filter(people=person)
    openings: QuerySet[Any] = Opening.objects.wanted()
    wanted = Prefetch("job__openings", openings)
    current = Doorset.objects.filter(superseded_at=None).select_related("installation")
    return (
        own.filter(start__lt=end, end__gt=begin)
        .select_related("crew", "job__site", "job__customer", "job__rule_set")
        .prefetch_related("people", wanted, Prefetch("job__openings__doorsets", current))
        .order_by("start", "id")
        .distinct()
    )


def _fittings(visits: Iterable[Visit]) -> list[Installation]:
    doorsets = (
        doorset
        for visit in visits
        for opening in visit.job.openings.all()
        for doorset in opening.doorsets.all()
    )
    return [doorset.installation for doorset in doorsets if hasattr(doorset, "installation")]


def _places(visit: Visit, progress: Mapping[UUID, Progress]) -> list[Place]:
    places = []
    for opening in sorted(visit.job.openings.all(), key=lambda opening: opening.number):
        doorset = next(iter(opening.doorsets.all()), None)
        fitting = getattr(doorset, "installation", None)
        places.append(
            Place(opening, doorset, fitting, progress.get(fitting.pk) if fitting else None)
        )
    return places


def _day(call: Call) -> date:
    """A visit that began before today still goes on today."""
    return max(timezone.localdate(call.visit.start), timezone.localdate())
