"""Crews, and visits that nobody is booked for twice."""

from collections.abc import Iterable
from datetime import datetime, timedelta
from typing import Any

from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from jobs.capabilities import roles_making
from jobs.code_labels import code_label
from jobs.errors import Conflict, InvalidField, named
from jobs.idempotency import IdempotencyKey
from jobs.journal_types import JournalType
from jobs.models import Crew, Job, Person, Visit
from jobs.rules import Rules
from jobs.services.journal import append_new, date_new
from jobs.services.records import refuse_taken, store_change

# No limit of the trade: a slip in the year must not book a crew for good.
LONGEST_VISIT = timedelta(days=31)


@transaction.atomic
def add_crew(
    *, actor: Person, idempotency_key: IdempotencyKey, name: str, members: Iterable[Person]
) -> Crew:
    refuse_taken(Crew, "name", name)
    crew = Crew(**idempotency_key.columns, name=name)
    date_new(crew)
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
        also_changed=() if members is None else ("members",),
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
    purpose: str = "",
) -> Visit:
    """Book a crew, with its members of today, for a job; `purpose` is that of a return visit.

    Raises `InvalidField` for a purpose of any other, a visit in the past, one that ends before it
    starts, and a crew of which nobody holds a role that makes such visits; `Conflict`, naming the
    other visit, when the crew or one of its people is booked elsewhere at that time.
    """
    if purpose and kind != Visit.Kind.RETURN:
        raise InvalidField("/purpose", _("only a return visit has one; leave it out"))
    people = _bookable_people(crew, kind)
    _check_start(start)
    _check_end(start, end)
    _refuse_double_booking(crew, people, start, end, besides=None)
    about = {"job": job, "kind": kind, "purpose": purpose, "crew": crew}
    visit = Visit(**idempotency_key.columns, **about, start=start, end=end)
    date_new(visit)
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
    """Move a visit to another time, with the same refusals as a booking.

    One that has begun stays where it began, and only its end is put off, as long as it is not over.
    """
    if visit.cancelled_at:
        raise Conflict(_("the visit was cancelled; book a new one"), named(visit))
    if visit.is_over:
        raise Conflict(_("the visit is over; book a new one"), named(visit))
    if start != visit.start:
        if visit.has_begun:
            raise Conflict(_("the visit has begun; it cannot be moved, only ended"), named(visit))
        _check_start(start)
    _check_end(start, end)
    if visit.has_begun and end <= timezone.now():
        raise InvalidField("/end", _("{end} is in the past; end the visit").format(end=end))
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
    if visit.has_begun:
        raise Conflict(_("the visit has begun; what was done at it stays on record"), named(visit))
    changes = {"cancelled_at": timezone.now()}
    return store_change(
        visit,
        changes,
        expected_version=expected_version,
        actor=actor,
        entry_type=JournalType.VISIT_CANCELLED,
    )


@transaction.atomic
def end_visit(*, actor: Person, visit: Visit, expected_version: int) -> Visit:
    """Say that a visit is over now; its people are free again.

    Raises `Conflict` for one that was cancelled, has not begun, or is over.
    """
    if visit.cancelled_at:
        raise Conflict(_("the visit was cancelled before"), named(visit))
    if not visit.has_begun:
        raise Conflict(_("the visit has not begun; cancel it if nobody goes"), named(visit))
    if visit.is_over:
        raise Conflict(_("the visit is over"), named(visit))
    return store_change(
        visit,
        _ended(visit, timezone.now()),
        expected_version=expected_version,
        actor=actor,
        entry_type=JournalType.VISIT_ENDED,
    )


def begin_visit(*, actor: Person, visit: Visit, at: datetime) -> None:
    """The first record of a visit, made then, shows that it has begun; inside the transaction of
    the service that stores the record and has locked it. From now on it is neither moved nor
    cancelled."""
    if visit.began_at is None:
        store_change(
            visit,
            {"began_at": at},
            expected_version=visit.version,
            actor=actor,
            entry_type=JournalType.VISIT_BEGUN,
        )


def end_fittings(*, actor: Person, job: Job, at: datetime) -> None:
    """What was fitted is handed over: visits to fit that have begun by then, or are about to, are
    over; inside the transaction of the handover."""
    about_to = at + tolerance_of(job.rule_set.rules)
    fittings = Visit.objects.select_for_update(of=("self",), no_key=True).not_cancelled()
    under_way = fittings.filter(
        job=job, kind=Visit.Kind.FITTING, start__lte=about_to, end__gt=at, ended_at=None
    )
    for visit in under_way.order_by("pk"):
        store_change(
            visit,
            _ended(visit, at),
            expected_version=visit.version,
            actor=actor,
            entry_type=JournalType.VISIT_ENDED,
        )


def tolerance_of(rules: Rules) -> timedelta:
    """How far before and after a visit its records may be dated."""
    return timedelta(minutes=rules["visit.tolerance"])


def _ended(visit: Visit, at: datetime) -> dict[str, Any]:
    changes: dict[str, Any] = {"began_at": visit.began_at or min(visit.start, at), "ended_at": at}
    # The crew is free from then on; one that came early is booked no longer than it was.
    return changes | ({"end": at} if visit.start < at < visit.end else {})


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
