"""Erasing a customer: who they are leaves the records, and what was measured and fitted stays.

The values are replaced by a word, and the keys under which the journal holds them sealed are
destroyed, so that its digests say nothing any more and every chain still holds. The PDF files go,
since names and signature are drawn in them; their SHA-256 stays, so that a paper in the customer's
hand can still be verified. What somebody typed into a title or a note stays in the journal: it is
told, not hidden.
"""

import secrets
from dataclasses import dataclass
from datetime import datetime
from functools import partial
from typing import Any

from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from installs.models import Handover, SyncOperation
from jobs.database_rights import may_change_what_is_frozen
from jobs.errors import Conflict, InvalidField, VersionConflict, named
from jobs.journal_types import JournalType
from jobs.models import Customer, Job, JournalEntry, Person, SealedContent, Site
from jobs.sentences import sentence
from jobs.services.journal import append
from jobs.services.records import store_change
from reports.models import Dispatch, TimeStamp
from upkeep.personal_data.files import delete_files
from upkeep.personal_data.held import Held
from upkeep.personal_data.redaction import ERASED, ERASED_ADDRESS, redacted
from upkeep.personal_data.retention import kept_for_now, work_in_hand
from upkeep.personal_data.still_named import entries_naming, telling_words


@dataclass(frozen=True, slots=True)
class Erasure:
    """`kept_sites` are another customer's, too; `named_in` entries of the journal that name this
    one in words that somebody typed."""

    customer: Customer
    kept_sites: list[Site]
    named_in: list[JournalEntry]


@transaction.atomic
def erase_customer(
    *,
    actor: Person | None,
    customer: Customer,
    expected_version: int,
    reason: str,
    in_spite_of_retention: str = "",
) -> Erasure:
    """Erase who a customer is from every record, for a reason that the journal keeps.

    `in_spite_of_retention` says why it is done before the time is over. Raises `Conflict` with the
    jobs that are still in hand or must be kept, and where the database lets this process only add;
    `InvalidField` for a reason that names the customer, `VersionConflict`. Of one who is erased
    already only the files go, should any be left.
    """
    _refuse_append_only_role(customer)
    customer = Customer.objects.select_for_update(no_key=True).get(pk=customer.pk)
    held = Held(customer)
    transaction.on_commit(partial(delete_files, held))
    if customer.erased_at:
        return Erasure(customer, list(held.shared_sites), [])
    if customer.version != expected_version:
        raise VersionConflict(customer.version)
    _lock(held)
    words = telling_words(held)
    _refuse_naming("reason", reason, words)
    _refuse_naming("in_spite_of_retention", in_spite_of_retention, words)
    _refuse_too_early(customer, in_spite_of_retention)
    _journal_why(actor, customer, reason, in_spite_of_retention)
    return _erase(actor, held, words)


def _refuse_append_only_role(customer: Customer) -> None:
    """The role of the web server may not change frozen papers and handovers, not even for this."""
    if not may_change_what_is_frozen():
        raise Conflict(
            _("erasing needs the owner of the database: run manage.py erase_customer as that role"),
            named(customer),
        )


def _lock(held: Held) -> None:
    """What others lock before they write a journal, so before we do."""
    for rows in (held.jobs, held.documents, held.dispatches):
        list(rows.select_for_update(no_key=True, of=("self",)))


def _refuse_naming(field: str, text: str, words: set[str]) -> None:
    if any(word.lower() in text.lower() for word in words):
        raise InvalidField(
            f"/{field}",
            _("it stays in the journal permanently; leave out who the customer is"),
        )


def _refuse_too_early(customer: Customer, in_spite_of_retention: str) -> None:
    reasons = list(work_in_hand(customer))
    if not reasons and not in_spite_of_retention:
        reasons = list(kept_for_now(customer))
    if reasons:
        raise Conflict(
            _("not to be erased yet: {reasons}").format(reasons="; ".join(reasons)), named(customer)
        )


def _journal_why(
    actor: Person | None, customer: Customer, reason: str, in_spite_of_retention: str
) -> None:
    append(
        stream=customer.journal_stream,
        actor=actor,
        entry_type=JournalType.CUSTOMER_ERASURE_DECIDED,
        record=(customer._meta.label_lower, str(customer.pk)),
        body={"reason": reason, "in_spite_of_retention": in_spite_of_retention},
    )


def _erase(actor: Person | None, held: Held, words: set[str]) -> Erasure:
    """The firm's own chain first and the jobs' in the order of their names: sealing takes the heads
    of all chains in that order, and would otherwise wait for us in a circle."""
    now = timezone.now()
    shared = list(held.shared_sites)
    for site in held.sites_of_their_own:
        _change(site, _of_site(), actor)
    customer = _change(held.customer, _of_customer(now), actor)
    for job in sorted(held.jobs, key=lambda job: job.journal_stream):
        _erase_from(job, held, now, actor)
    SyncOperation.objects.filter(record__in=held.handovers.values("pk")).update(digest="")
    streams = [job.journal_stream for job in held.jobs]
    SealedContent.objects.filter(entry__stream__in=streams).delete()
    return Erasure(customer, shared, entries_naming(held, words))


def _erase_from(job: Job, held: Held, now: datetime, actor: Person | None) -> None:
    for handover in Handover.objects.filter(job=job):
        _change(handover, {"customer_name": ERASED, "signature": []}, actor)
    for document in held.documents.filter(job=job):
        record = redacted(document.record)
        _change(document, {"record": record, "file": "", "erased_at": now}, actor)
    for stamp in TimeStamp.objects.filter(document__job=job).exclude(file=""):
        store_change(
            stamp,
            {"file": ""},
            expected_version=stamp.version,
            actor=actor,
            entry_type=JournalType.CUSTOMER_ERASED,
        )
    for dispatch in held.dispatches.filter(document__job=job):
        _change(dispatch, _of_dispatch(dispatch), actor)


def _change(record: Any, changes: dict[str, Any], actor: Person | None) -> Any:
    """Under a new key: the one that sealed what was erased is nowhere any more."""
    forgotten = {"seal_key": secrets.token_hex(), "creation_digest": ""}
    return store_change(
        record,
        changes | forgotten,
        expected_version=record.version,
        actor=actor,
        entry_type=JournalType.CUSTOMER_ERASED,
    )


def _of_customer(now: datetime) -> dict[str, Any]:
    return {"name": ERASED, "email": ERASED_ADDRESS, "telephone": "", "erased_at": now}


def _of_site() -> dict[str, str]:
    blank = dict.fromkeys(("address_line_2", "town", "postcode", "access_notes"), "")
    return {"address_line_1": ERASED} | blank


def _of_dispatch(dispatch: Dispatch) -> dict[str, Any]:
    """What was still waiting to be sent is not sent."""
    changes: dict[str, Any] = {"recipient": ERASED_ADDRESS}
    if dispatch.state == Dispatch.State.WAITING:
        why = sentence("not sent: the customer was erased")
        changes |= {"state": Dispatch.State.FAILED, "next_attempt_at": None, "outcome": why}
    return changes
