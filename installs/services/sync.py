"""Taking in what was done on site without a network: each operation once, and after those that it
depends on."""

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import Any, Protocol
from uuid import UUID, uuid5

from django.db import IntegrityError, transaction
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from installs.models import SyncOperation
from jobs.errors import Conflict, InvalidField, VersionConflict
from jobs.models import Person, Record

# Clocks of phones drift by seconds, as they are set by the network whenever there is one. One that
# is further ahead than this was set by hand, and what it says is no evidence of anything.
FURTHEST_AHEAD = timedelta(minutes=10)
# Longer than any fitting lasts with its return visits; older than this is a clock that was reset.
OLDEST = timedelta(days=90)
# What a failed inspection and a fixing of foam alone derive from their identity.
DERIVED_DEFECT = "defect"


class ClockDisagrees(InvalidField):
    """The time an operation was made at cannot be, by the server's clock, `server_time`."""

    def __init__(self, detail: str, server_time: datetime) -> None:
        now = server_time.astimezone(UTC).isoformat(timespec="seconds")
        super().__init__(
            "/made_at", _("{detail}; the server's clock says {now}").format(detail=detail, now=now)
        )
        self.server_time = now


@dataclass(frozen=True, slots=True)
class SentOperation:
    """One thing done on site: `kind` names it, `record` is what it creates or changes.

    `base_version` is the version it changes, None where it creates. `after` and `also_after` are
    the operations of its queue that come before it. `digest` is that of the whole operation.
    `made_at` and `sent_at` are by the phone's clock, which is right with `clock_offset` added.
    """

    id: UUID
    kind: str
    record: UUID
    base_version: int | None
    after: UUID | None
    made_at: datetime
    digest: str
    also_after: tuple[UUID, ...] = ()
    sent_at: datetime | None = None
    set_aside_because: str = ""
    clock_offset: timedelta = timedelta()

    @property
    def recorded_at(self) -> datetime:
        """When it was done. What cannot be although the clock is right now was told by a clock that
        was put right since: nobody knows when that was, so it counts as done when it was sent."""
        done_at = _put_right(self.made_at, self.clock_offset)
        if self.sent_at is None:
            return done_at
        sent_at = _put_right(self.sent_at, self.clock_offset)
        is_possible = -FURTHEST_AHEAD <= sent_at - done_at <= OLDEST
        return done_at if is_possible else sent_at


def _put_right(time: datetime, offset: timedelta) -> datetime:
    """As it was where it would be beyond all calendars; it is refused then."""
    try:
        return time + offset
    except OverflowError:
        return time


class OperationHandler(Protocol):
    """How an operation is applied: by the service that its single endpoint calls, too."""

    def apply(self) -> tuple[Record, bool]:
        """The record, and whether anything was done; raises what the endpoint would answer."""

    def set_aside(self) -> Record:
        """Keep it as it is, instead."""

    def server_record(self) -> Record | None:
        """The record as its sender may see it by now; None where there is none."""

    def as_json(self, record: Record) -> dict[str, Any]:
        """As its endpoint shows it, save what its person may ask to be erased: an answer that is
        kept must not keep that."""


@dataclass(frozen=True, slots=True)
class Answer:
    """What became of an operation: `applied`, `already_applied`, `conflict` with the record as the
    server has it, `set_aside` as its person wanted, or `waiting` for an operation before it.

    `same_as` is the record that said the same already, under another identity.
    """

    result: str
    version: int = 0
    server_record: dict[str, Any] | None = None
    waiting_for: UUID | None = None
    same_as: UUID | None = None


@transaction.atomic
def apply_operation(
    *, actor: Person, operation: SentOperation, handler: OperationHandler
) -> Answer:
    """Apply an operation, unless that has been answered before, and store the answer with it.

    Raises what the handler raises, `Conflict` where the id belongs to another operation, and
    `ClockDisagrees`; nothing is stored then, and it may come again.
    """
    _one_at_a_time(actor)
    if stored := SyncOperation.objects.filter(pk=operation.id).first():
        return _repeated(stored, actor, operation)
    if operation.set_aside_because:
        handler.set_aside()
        return _store(actor, operation, Answer("set_aside"))
    if before := _unanswered(actor, operation):
        return Answer("waiting", waiting_for=before)
    _check_sent_at(operation)
    check_clock(operation.recorded_at)
    return _store(actor, operation, _applied(operation, handler))


def _one_at_a_time(actor: Person) -> None:
    """Lock the person, so that their operations never overtake each other. Others may go on
    recording under that person's name, hence no lock on the key."""
    Person.objects.select_for_update(no_key=True).get(pk=actor.pk)


def _unanswered(actor: Person, operation: SentOperation) -> UUID | None:
    """The first of those it comes after that has not been answered for good."""
    before = [operation.after] if operation.after else []
    before += operation.also_after
    if not before:
        return None
    answered = SyncOperation.objects.filter(pk__in=before, person=actor)
    known = set(answered.values_list("pk", flat=True))
    return next((identifier for identifier in before if identifier not in known), None)


def record_known_as(actor: Person, record: UUID) -> UUID:
    """The record that stands for one of a person's phone: another one where that said the same
    already, and what the service derived from it."""
    same = SyncOperation.objects.filter(person=actor, same_as__isnull=False)
    for operation in same:
        sent, stored = operation.record, operation.same_as
        if stored and record == sent:
            return stored
        if stored and record == uuid5(sent, DERIVED_DEFECT):
            return uuid5(stored, DERIVED_DEFECT)
    return record


def _repeated(stored: SyncOperation, actor: Person, operation: SentOperation) -> Answer:
    if stored.person_id != actor.pk or stored.digest != operation.digest:
        raise Conflict(
            _("operation {id} was sent before with another content").format(id=operation.id)
        )
    if stored.outcome == SyncOperation.Outcome.APPLIED:
        return Answer("already_applied", stored.version)
    if stored.outcome == SyncOperation.Outcome.SET_ASIDE:
        return Answer("set_aside")
    return Answer("conflict", stored.version, stored.server_record)


def _check_sent_at(operation: SentOperation) -> None:
    """Raises `ClockDisagrees` where the phone's clock said another time than the server's when it
    was sent."""
    if operation.sent_at is None:
        return
    now = timezone.now()
    if abs(_put_right(operation.sent_at, operation.clock_offset) - now) > FURTHEST_AHEAD:
        raise ClockDisagrees(_("the clock of this phone is wrong"), now)


def check_clock(recorded_at: datetime) -> None:
    """Raises `ClockDisagrees` for a time that cannot be when something was done on site."""
    now = timezone.now()
    if recorded_at > now + FURTHEST_AHEAD:
        minutes = FURTHEST_AHEAD // timedelta(minutes=1)
        raise ClockDisagrees(
            ngettext(
                "it is more than {count} minute ahead",
                "it is more than {count} minutes ahead",
                minutes,
            ).format(count=minutes),
            now,
        )
    if recorded_at < now - OLDEST:
        raise ClockDisagrees(
            ngettext(
                "it is more than {count} day back", "it is more than {count} days back", OLDEST.days
            ).format(count=OLDEST.days),
            now,
        )


def check_since_job(record: Record, recorded_at: datetime) -> None:
    """Raises `ClockDisagrees` for a time before the job of the record was taken on."""
    of_model: Any = type(record)._default_manager
    path = of_model.none().path_to_job
    taken_on = of_model.values_list(f"{path}__created_at", flat=True).get(pk=record.pk)
    if recorded_at < taken_on - FURTHEST_AHEAD:
        raise ClockDisagrees(_("it is before the job was taken on"), timezone.now())


def _applied(operation: SentOperation, handler: OperationHandler) -> Answer:
    """What contradicts a record that has changed since the phone knew it is a conflict."""
    try:
        with transaction.atomic():
            record, is_new = handler.apply()
            if is_new:
                check_since_job(record, operation.recorded_at)
    except (Conflict, VersionConflict):
        server = handler.server_record()
        if server is None or not _is_newer(server, operation):
            raise
        return Answer("conflict", server.version, handler.as_json(server))
    same_as = None if record.pk == operation.record else record.pk
    result = "applied" if is_new else "already_applied"
    return Answer(result, record.version, same_as=same_as)


def _is_newer(server: Record, operation: SentOperation) -> bool:
    return operation.base_version is None or server.version > operation.base_version


def _store(actor: Person, operation: SentOperation, answer: Answer) -> Answer:
    outcomes, made_at = SyncOperation.Outcome, operation.made_at
    outcome = outcomes.APPLIED if answer.result == "already_applied" else outcomes(answer.result)
    try:
        with transaction.atomic():
            SyncOperation.objects.create(
                id=operation.id,
                person=actor,
                kind=operation.kind,
                record=operation.record,
                base_version=operation.base_version,
                after=operation.after,
                also_after=[str(identifier) for identifier in operation.also_after],
                made_at=None if made_at == operation.recorded_at else made_at,
                recorded_at=operation.recorded_at,
                digest=operation.digest,
                outcome=outcome,
                version=answer.version,
                same_as=answer.same_as,
                server_record=answer.server_record,
            )
    except IntegrityError as error:
        # Somebody else sent an operation under this id at the same moment.
        raise Conflict(
            _("operation {id} was sent before by somebody else").format(id=operation.id)
        ) from error
    return answer
