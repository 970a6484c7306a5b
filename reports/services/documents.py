"""Asking for papers and withdrawing them."""

from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from installs.models import Defect, Installation
from installs.services.defects import record_defect
from installs.services.handing_over import locked_installations
from jobs.errors import Conflict, GateClosed, InvalidField, named
from jobs.idempotency import IdempotencyKey
from jobs.journal_types import JournalType
from jobs.models import Job, Person
from jobs.services.records import store_change, store_new
from jobs.services.seals import seal_streams
from reports.issued_papers import open_safety_matters
from reports.kinds import KINDS
from reports.models import Document
from reports.models.documents import new_verification_code
from reports.outbox import MAKE_DOCUMENT, run_after_commit
from reports.papers.frozen.job import PaperRecord
from reports.papers.job_record import substance
from reports.services.making import end_of_head_start


def issue_certificate(*, actor: Person, idempotency_key: IdempotencyKey, job: Job) -> Document:
    """Ask for the completion certificate of a job; it is drawn and mailed in the background."""
    kind = Document.Kind.COMPLETION_CERTIFICATE
    return issue_document(actor=actor, idempotency_key=idempotency_key, job=job, kind=kind)


def issue_document(
    *, actor: Person, idempotency_key: IdempotencyKey, job: Job, kind: str
) -> Document:
    """Ask for a paper of a job; it is drawn in the background.

    A current document of the kind is superseded by the new edition. Raises `GateClosed` with what
    is in the way, and `Conflict` when nothing has changed since the current document, or when the
    customer whom it would name was erased.
    """
    if kind == Document.Kind.COMPLETION_CERTIFICATE:
        # In a transaction of its own: sealing takes the heads of all chains, issuing only one.
        seal_streams()
    return _issue(actor=actor, idempotency_key=idempotency_key, job=job, kind=kind)


@transaction.atomic
def _issue(*, actor: Person, idempotency_key: IdempotencyKey, job: Job, kind: str) -> Document:
    job = Job.objects.select_for_update(no_key=True).get(pk=job.pk)
    # Nothing may be recorded at an installation between the gate and the record of the paper.
    list(locked_installations(job))
    if job.customer.erased_at:
        raise Conflict(_("the customer of this job was erased"), named(job))
    of_kind = KINDS[kind]
    if of_kind.gate and (blockers := of_kind.gate(job)):
        raise GateClosed(of_kind.gate_name, blockers)
    editions = job.documents.filter(kind=kind)
    document = Document(
        **idempotency_key.columns,
        job=job,
        kind=kind,
        number=f"{job.reference}-{of_kind.suffix}",
        edition=editions.count() + 1,
        verification_code=new_verification_code(),
        next_attempt_at=end_of_head_start(),
    )
    document.freeze(of_kind.record(document))
    if current := editions.current().first():
        _supersede(current, document.paper_record, actor)
    store_new(document, actor=actor, entry_type=JournalType.DOCUMENT_REQUESTED)
    # A broker that is away must not undo what was asked for: the sweep finds it.
    run_after_commit(MAKE_DOCUMENT, document.pk)
    return document


def _supersede(current: Document, record: PaperRecord, actor: Person) -> None:
    if substance(current.paper_record) == substance(record):
        message = _("nothing on record has changed since {document}; send that one again")
        raise Conflict(message.format(document=current.label), named(current))
    store_change(
        current,
        {"superseded_at": timezone.now()},
        expected_version=current.version,
        actor=actor,
        entry_type=JournalType.DOCUMENT_SUPERSEDED,
    )


@transaction.atomic
def withdraw_document(
    *,
    actor: Person,
    document: Document,
    expected_version: int,
    reason: str,
    for_safety: bool,
    installation: Installation | None = None,
) -> Document:
    """Withdraw a paper; whoever verifies it reads since when and why.

    A certificate that is withdrawn `for_safety` is not issued again before the matter is closed:
    where no critical defect is open yet, the reason becomes one of the `installation`, which may be
    left out where the job has no other. Raises `Conflict` when it is withdrawn already, and
    `InvalidField` for an installation that is not one of the job's.
    """
    if document.withdrawn_at:
        message = _("{document} is already withdrawn").format(document=document.label)
        raise Conflict(message, named(document))
    if for_safety and document.kind == Document.Kind.COMPLETION_CERTIFICATE:
        _open_safety_matter(actor, document.job, installation, reason)
    changes = {
        "withdrawn_at": timezone.now(),
        "withdrawal_reason": reason,
        "withdrawn_for_safety": for_safety,
    }
    return store_change(
        document,
        changes,
        expected_version=expected_version,
        actor=actor,
        entry_type=JournalType.DOCUMENT_WITHDRAWN,
    )


def _open_safety_matter(
    actor: Person, job: Job, installation: Installation | None, reason: str
) -> None:
    fitted = list(locked_installations(job))
    if installation is not None and installation not in fitted:
        raise InvalidField("/installation", _("it is no installation of this job"))
    if open_safety_matters(job).exists():
        return
    if installation is None and len(fitted) != 1:
        raise InvalidField("/installation", _("say at which opening somebody could be hurt"))
    record_defect(
        actor=actor,
        idempotency_key=IdempotencyKey(),
        installation=installation or fitted[0],
        severity=Defect.Severity.CRITICAL,
        description=reason,
    )
