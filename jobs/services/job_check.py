"""Holding one job against the journal, with all that it was decided by.

Its own chain is checked, and every record in it; of the firm's records, such as instruments, rule
sets and people, those that the job names. With `seals`, the chains that hold those are checked too,
and all of these chains against every seal that names one: whoever wrote a chain anew, from some
entry on, could not sign what it was sealed as. The other seals are for the check of everything.
"""

from collections import defaultdict, deque
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from typing import Any

from jobs.models import CATALOGUE, Job, JournalEntry, Journalled, RuleSet
from jobs.services.journal_check import flaw_of_chain, flaws_of
from jobs.services.record_check import (
    Contradiction,
    Written,
    compared,
    contradictions,
    read_entry,
)
from jobs.services.states import State, journalled_models, kept_columns, states

Entries = dict[str, dict[str, list[Written]]]
"""Of a chain, by the model's label and the key of the record."""


@dataclass(frozen=True, slots=True)
class CheckedJob:
    """`contradictions` is empty where everything agrees; `entries` is what the journal says."""

    contradictions: list[Contradiction]
    entries: Entries

    def state_of(self, record: Journalled) -> State | None:
        """What the journal says that a record of the job is now."""
        of_kind = self.entries.get(record._meta.label_lower, {})
        written = of_kind.get(str(record.pk), [])
        return written[-1].state if written else None


def check_job(job: Job, *, files: bool = True, seals: bool = False) -> CheckedJob:
    """Twice where something contradicts, since others may have been writing."""
    checked = _check(job, files=files, seals=seals)
    return checked if not checked.contradictions else _check(job, files=files, seals=seals)


def _check(job: Job, *, files: bool, seals: bool) -> CheckedJob:
    entries = _entries(job.journal_stream)
    contradicting = list(_of_chains(job.journal_stream, seals=seals))
    for model in models_of_jobs():
        written = entries.get(model._meta.label_lower, {})
        contradicting += _of_model(model, job, written, files=files)
    for model, keys in _named_by(entries).items():
        contradicting += contradictions(model, keys, files=files)
    return CheckedJob(contradicting, entries)


def _of_model(
    model: type[Journalled], job: Job, written: dict[str, list[Written]], *, files: bool
) -> Iterator[Contradiction]:
    rows = states(model._base_manager.filter(**{path_to_job(model): job.pk}), files=files)
    # Nor may a record have left the job.
    if elsewhere := written.keys() - rows.keys():
        rows |= states(model._base_manager.filter(pk__in=elsewhere), files=files)
    for key in rows.keys() | written.keys():
        yield from compared(model, key, written.get(key, []), rows.get(key), files=files)


def _of_chains(stream: str, *, seals: bool) -> Iterator[Contradiction]:
    """Of a job's chain, and with `seals` of the chain of the firm's records."""
    found = flaws_of([stream, CATALOGUE]) if seals else [flaw_of_chain(stream)]
    for flaw in filter(None, found):
        yield Contradiction("jobs.journalstream", flaw.stream, f"entry {flaw.number}", flaw.why)


def _entries(stream: str) -> Entries:
    by_kind: Entries = defaultdict(lambda: defaultdict(list))
    entries = JournalEntry.objects.filter(stream=stream).order_by("number")
    for kind, key, text in entries.values_list("record_kind", "record_id", "text"):
        if written := read_entry(text):
            by_kind[kind][key].append(written)
    return by_kind


def _named_by(entries: Entries) -> dict[type[Journalled], set[str]]:
    """The firm's records that records of the job name, and every rule set, since one may borrow
    from the others."""
    named: dict[type[Journalled], set[str]] = defaultdict(set)
    for model in models_of_jobs():
        for written in entries.get(model._meta.label_lower, {}).values():
            for name, other in _shared_by(model):
                value = written[-1].state.get(name)
                named[other].update(value if isinstance(value, list) else filter(None, [value]))
    named[RuleSet] = {str(key) for key in RuleSet.objects.values_list("pk", flat=True)}
    return {model: keys for model, keys in named.items() if keys}


@cache
def models_of_jobs() -> tuple[type[Journalled], ...]:
    return tuple(model for model in journalled_models() if path_to_job(model))


@cache
def _shared_by(model: type[Journalled]) -> tuple[tuple[str, type[Journalled]], ...]:
    """Columns and relations of a model that name records of the firm."""
    fields: list[Any] = [*kept_columns(model), *model._meta.many_to_many]
    shared = set(journalled_models()) - set(models_of_jobs())
    return tuple(
        (field.name, field.related_model) for field in fields if field.related_model in shared
    )


@cache
def path_to_job(model: type[Journalled]) -> str:
    """The shortest way along its foreign keys; empty for what is of no job."""
    if model is Job:
        return "pk"
    ways: deque[tuple[Any, str]] = deque([(model, "")])
    seen = {model}
    while ways:
        here, path = ways.popleft()
        for field in here._meta.concrete_fields:
            if field.related_model is Job:
                return f"{path}{field.name}"
            if field.related_model and field.related_model not in seen:
                seen.add(field.related_model)
                ways.append((field.related_model, f"{path}{field.name}__"))
    return ""
