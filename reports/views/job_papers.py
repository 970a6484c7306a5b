"""The papers of a job as its page shows them: those there are, and those that may be asked for."""

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
    """A kind of paper that somebody may ask for. `id` makes pressing twice harmless."""

    kind: str
    blockers: Sequence[Blocker]
    again: bool
    id: UUID

    @property
    def name(self) -> str:
        return self.kind.replace("_", " ")


def papers_of(person: Person, job: Job) -> QuerySet[Document]:
    """Newest first, without the records they are drawn from, each with its `letters` to the
    customer."""
    letters = Dispatch.objects.visible_to(person).order_by("created_at")
    shown = Prefetch("dispatches", queryset=letters, to_attr="letters")
    return job.documents.visible_to(person).defer("record").prefetch_related(shown)


def offers_to(
    person: Person, job: Job, gates: Mapping[str, Sequence[Blocker]], papers: Sequence[Document]
) -> list[Offer]:
    """`gates`: those of the job that are worked out already. A paper of an erased customer would
    name nobody, so none is offered."""
    if job.customer.erased_at:
        return []
    there = {paper.kind for paper in papers}
    return [
        Offer(kind, _blockers(kind, job, gates), kind in there, uuid4())
        for kind in KINDS
        if may_ask(person, kind, job)
    ]


def _blockers(kind: str, job: Job, gates: Mapping[str, Sequence[Blocker]]) -> Sequence[Blocker]:
    of_kind = KINDS[kind]
    known: Any = gates.get(of_kind.gate_name)
    if known is not None or of_kind.gate is None:
        return known or ()
    return of_kind.gate(job)
