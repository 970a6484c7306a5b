"""Taking in what was done on site without a network: each operation once, and after those that it
depends on."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime
from typing import Any, Protocol
from uuid import UUID, uuid5

from django.db import IntegrityError, transaction
from django.utils.translation import gettext as _

from installs.models import SetAside, SyncOperation
from installs.services.signing import require_signature, verified_signature
from jobs.device_keys import SignedText
from jobs.errors import Conflict, UnfitInstrument, VersionConflict
from jobs.models import Person, Record
from jobs.services.journal import SentByPhone, journalled_as
from jobs.services.phone_clock import PhoneTime, check_since_job

# What a failed inspection and a fixing of foam alone derive from their identity.
DERIVED_DEFECT = "defect"


@dataclass(frozen=True, slots=True)
class SentOperation:
    """One thing done on site: `kind` names it, `record` is what it creates or changes.

    `base_version` is the version it changes, None where it creates. `after` and `also_after` are
    the operations of its queue that come before it. `digest` is that of the whole operation.
    `jws` is the phone's signature over `said`: the operation, without what only orders the queue.
    """

    id: UUID
    kind: str
    record: UUID
    base_version: int | None
    after: UUID | None
    time: PhoneTime
    digest: str
    also_after: tuple[UUID, ...] = ()
    set_aside_because: str = ""
    jws: str = ""
    said: Mapping[str, Any] = field(default_factory=dict)

    @property
    def recorded_at(self) -> datetime:
        return self.time.recorded_at


class OperationHandler(Protocol):
    """How an operation is applied: by the service that its single endpoint calls, too."""

    @property
    def tells_of_customer(self) -> bool:
        """Whether it says what a customer may ask to have erased."""

    def apply(self) -> tuple[Record, bool]:
        """The record, and whether anything was done; raises what the endpoint would answer."""

    def set_aside(self, because: str) -> Record:
        """Keep it as it is, instead, with the reason."""

    def server_record(self) -> Record | None:
        """The record as its sender may see it by now; None where there is none."""

    def as_json(self, record: Record) -> dict[str, Any]:
        """As its endpoint shows it, save what its person may ask to be erased: an answer that is
        kept must not keep that."""


@dataclass(frozen=True, slots=True)
class Answer:
    """What became of an operation: `applied`, `already_applied`, `conflict` with the record as the
    server has it, `set_aside`, or `waiting` for an operation before it.

    `same_as` is the record that said the same already, under another identity. `because` is why
    it was set aside: as its person wanted, or since its instrument proves nothing. `signed_by` is
    the thumbprint of the key whose signature counts, None where there is none.
    """

    result: str
    version: int = 0
    server_record: dict[str, Any] | None = None
    waiting_for: UUID | None = None
    same_as: UUID | None = None
    because: str = ""
    signed_by: str | None = None


@transaction.atomic
def apply_operation(
    *, actor: Person, operation: SentOperation, handler: OperationHandler
) -> Answer:
    """Apply an operation, unless that has been answered before, and store the answer with it.

    Raises what the handler raises, `Conflict` where the id belongs to another operation,
    `ClockDisagrees`, `SignatureNeeded`, and `InvalidField` for a wrong signature; nothing is stored
    then, and it may come again.
    """
    _one_at_a_time(actor)
    if stored := SyncOperation.objects.filter(pk=operation.id).first():
        return _repeated(stored, actor, operation)
    signed = verified_signature(actor, operation.jws, operation.said)
    if operation.set_aside_because:
        return _store(actor, operation, _done(operation, handler, signed), signed)
    if signed is None:
        require_signature(actor)
    if before := _unanswered(actor, operation):
        return Answer("waiting", waiting_for=before)
    operation.time.check()
    return _store(actor, operation, _done(operation, handler, signed), signed)


def _done(operation: SentOperation, handler: OperationHandler, signed: SignedText | None) -> Answer:
    """Applied, or kept as it is; the journal says of either what the phone signed."""
    named = frozenset({str(operation.record), str(operation.id)})
    with journalled_as(SentByPhone(named, signed, is_sealed=handler.tells_of_customer)):
        if because := operation.set_aside_because:
            handler.set_aside(because)
            return Answer("set_aside", because=because)
        return _applied(operation, handler)


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
    return replace(_answer_of(stored), signed_by=stored.signed_by or None)


def _answer_of(stored: SyncOperation) -> Answer:
    if stored.outcome == SyncOperation.Outcome.APPLIED:
        return Answer("already_applied", stored.version)
    if stored.outcome == SyncOperation.Outcome.SET_ASIDE:
        return Answer("set_aside", because=SetAside.objects.get(pk=stored.pk).reason)
    return Answer("conflict", stored.version, stored.server_record)


def _applied(operation: SentOperation, handler: OperationHandler) -> Answer:
    """What contradicts a record that has changed since the phone knew it is a conflict; what was
    read with an instrument that proves nothing is set aside."""
    try:
        with transaction.atomic():
            record, is_new = handler.apply()
            if is_new:
                check_since_job(record, operation.recorded_at)
    except UnfitInstrument as refusal:
        handler.set_aside(refusal.detail)
        return Answer("set_aside", because=refusal.detail)
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


def _store(
    actor: Person, operation: SentOperation, answer: Answer, signed: SignedText | None
) -> Answer:
    outcomes = SyncOperation.Outcome
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
                made_at=operation.time.by_a_wrong_clock,
                recorded_at=operation.recorded_at,
                digest=operation.digest,
                outcome=outcome,
                version=answer.version,
                same_as=answer.same_as,
                server_record=answer.server_record,
                signed_by=signed.key_id if signed else "",
            )
    except IntegrityError as error:
        # Somebody else sent an operation under this id at the same moment.
        raise Conflict(
            _("operation {id} was sent before by somebody else").format(id=operation.id)
        ) from error
    return replace(answer, signed_by=signed.key_id if signed else None)
