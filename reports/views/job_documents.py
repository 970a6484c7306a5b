"""The documents of a job on its page: those issued, and those that may be asked for."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any
from uuid import UUID, uuid4

from django.db.models import Prefetch, QuerySet

from jobs.errors import Blocker
from jobs.models import Job, Person
from reports.kinds import KINDS, may_ask
from reports.models import Dispatch, Document


@dataclass(frozen=True, slots=True)
class Offer:
    """A kind of document that somebody may ask for. `id` makes pressing twice harmless."""

    kind: str
    blockers: Sequence[Blocker]
    again: bool
    id: UUID

    @property
    def title(self) -> str:
        return str(Document.Kind(self.kind).label)


def documents_of(person: Person, job: Job) -> QuerySet[Document]:
    """Newest first, without the records they are rendered from, each with its dispatches to the
    customer as `emails`."""
    dispatches = Dispatch.objects.visible_to(person).order_by("created_at")
    emails = Prefetch("dispatches", queryset=dispatches, to_attr="emails")
    return job.documents.visible_to(person).defer("record").prefetch_related(emails)


def offers_to(
    person: Person, job: Job, gates: Mapping[str, Sequence[Blocker]], documents: Sequence[Document]
) -> list[Offer]:
    """`gates`: those of the job that are known already. A document about an erased customer would
    name nobody, so none is offered."""
    if job.customer.erased_at:
        return []
    issued = {document.kind for document in documents}
    return [
        Offer(kind, _blockers(kind, job, gates), kind in issued, uuid4())
        for kind in KINDS
        if may_ask(person, kind, job)
    ]


def _blockers(kind: str, job: Job, gates: Mapping[str, Sequence[Blocker]]) -> Sequence[Blocker]:
    of_kind = KINDS[kind]
    known: Any = gates.get(of_kind.gate_name)
    if known is not None or of_kind.gate is None:
        return known or ()
    return of_kind.gate(job)
