"""Crews, and visits that nobody is booked for twice."""

from collections.abc import Iterable
from datetime import datetime, timedelta

from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from jobs.capabilities import roles_making
from jobs.code_labels import code_label
from jobs.errors import Conflict, InvalidField, named
from jobs.idempotency import IdempotencyKey
from jobs.journal_types import JournalType
from jobs.models import Crew, Job, Person, Visit
from jobs.services.journal import append_new
from jobs.services.records import refuse_taken, store_change

# No limit of the trade: a slip in the year must not book a crew for good.
LONGEST_VISIT = timedelta(days=31)


@transaction.atomic
def add_crew(
    *, actor: Person, idempotency_key: IdempotencyKey, name: str, members: Iterable[Person]
) -> Crew:
    refuse_taken(Crew, "name", name)
    crew = Crew(**idempotency_key.columns, name=name)
    crew.save(force_insert=True)
    crew.members.set(members)
    append_new(crew, actor=actor, entry_type=JournalType.CREW_ADDED)
    return crew


@transaction.atomic
def change_crew(
    *,
    actor: Person,
    crew: Crew,
    expected_version: int,
    name: str | None = None,
    members: Iterable[Person] | None = None,
) -> Crew:
    """Rename a crew or change who is in it; visits already booked keep their people."""
    refuse_taken(Crew, "name", name, besides=crew)
    if members is not None:
        crew.members.set(members)
    changes = {} if name is None else {"name": name}
    return store_change(
        crew,
        changes,
        expected_version=expected_version,
        actor=actor,
        entry_type=JournalType.CREW_CHANGED,
    )


@transaction.atomic
def book_visit(
    *,
    actor: Person,
    idempotency_key: IdempotencyKey,
    job: Job,
    kind: str,
    crew: Crew,
    start: datetime,
    end: datetime,
) -> Visit:
    """Book a crew, with its members of today, for a job.

    Raises `InvalidField` for a visit in the past, one that ends before it starts, and a crew of
    which nobody holds a role that makes such visits; `Conflict`, naming the other visit, when the
    crew or one of its people is booked elsewhere at that time.
    """
    people = _bookable_people(crew, kind)
    _check_start(start)
    _check_end(start, end)
    _refuse_double_booking(crew, people, start, end, besides=None)
    visit = Visit(**idempotency_key.columns, job=job, kind=kind, crew=crew, start=start, end=end)
    visit.save(force_insert=True)
    visit.people.set(people)
    append_new(visit, actor=actor, entry_type=JournalType.VISIT_BOOKED)
    return visit


@transaction.atomic
def move_visit(
    *,
    actor: Person,
    visit: Visit,
    expected_version: int,
    start: datetime,
    end: datetime,
) -> Visit:
    """Move a visit to another time, with the same refusals as a booking."""
    if visit.cancelled_at:
        raise Conflict(_("the visit was cancelled; book a new one"), named(visit))
    if start != visit.start:
        _check_start(start)
    _check_end(start, end)
    Crew.objects.select_for_update(no_key=True).get(pk=visit.crew_id)
    people = list(visit.people.select_for_update(no_key=True).order_by("pk"))
    _refuse_double_booking(visit.crew, people, start, end, besides=visit)
    changes = {"start": start, "end": end}
    return store_change(
        visit,
        changes,
        expected_version=expected_version,
        actor=actor,
        entry_type=JournalType.VISIT_MOVED,
    )


@transaction.atomic
def cancel_visit(*, actor: Person, visit: Visit, expected_version: int) -> Visit:
    """Cancel a visit; its people are free again and no longer see the job through it.

    Raises `Conflict` for one that was cancelled before or has begun.
    """
    if visit.cancelled_at:
        raise Conflict(_("the visit was cancelled before"), named(visit))
    if visit.start <= timezone.now():
        raise Conflict(_("the visit has begun; what was done at it stays on record"), named(visit))
    changes = {"cancelled_at": timezone.now()}
    return store_change(
        visit,
        changes,
        expected_version=expected_version,
        actor=actor,
        entry_type=JournalType.VISIT_CANCELLED,
    )


def _bookable_people(crew: Crew, kind: str) -> list[Person]:
    """Members of the crew, their rows locked in one order so that bookings cannot interleave."""
    Crew.objects.select_for_update(no_key=True).get(pk=crew.pk)
    members = crew.members.values_list("pk", flat=True)
    people = list(
        Person.objects.select_for_update(no_key=True).filter(pk__in=members).order_by("pk")
    )
    roles = roles_making(Visit.Kind(kind))
    if all(person.held_roles.isdisjoint(roles) for person in people):
        text = _("nobody in {crew} has a role that a {kind} visit needs: {roles}")
        names = ", ".join(code_label(role) for role in roles)
        detail = text.format(crew=crew, kind=code_label(kind), roles=names)
        raise InvalidField("/crew", detail)
    return people


def _check_start(start: datetime) -> None:
    if start < timezone.now():
        text = _("{start} is in the past; book from now on")
        raise InvalidField("/start", text.format(start=start.isoformat()))


def _check_end(start: datetime, end: datetime) -> None:
    if end <= start:
        raise InvalidField("/end", _("the visit must end after it starts"))
    if end - start > LONGEST_VISIT:
        text = _("a visit takes {days} days at most")
        raise InvalidField("/end", text.format(days=LONGEST_VISIT.days))


def _refuse_double_booking(
    crew: Crew,
    people: list[Person],
    start: datetime,
    end: datetime,
    besides: Visit | None,
) -> None:
    meanwhile = Visit.objects.not_cancelled().filter(start__lt=end, end__gt=start)
    if besides:
        meanwhile = meanwhile.exclude(pk=besides.pk)
    if other := meanwhile.filter(crew=crew).first():
        raise Conflict(_booked_already(crew.name, other), named(other))
    for person in people:
        if other := meanwhile.filter(people=person).first():
            raise Conflict(_booked_already(person.display_name, other), named(other))


def _booked_already(name: str, other: Visit) -> str:
    return _("{name} is booked already: {visit}").format(name=name, visit=other)
