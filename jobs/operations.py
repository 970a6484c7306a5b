"""What is recorded on site, declared once: each app names its own operations.

From a declaration follow its endpoint and who may use it, what a phone may queue, its label in the
queue and the fields of its form; `installs/operations.py` gathers those of all apps.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.utils.text import capfirst
from rest_framework import serializers

from jobs.capabilities import Capability
from jobs.idempotency import IdempotencyKey
from jobs.journal_types import JournalType
from jobs.models import Person, Record


@dataclass(frozen=True, slots=True)
class Verdict:
    """What a phone is answered about a record that is judged. `decision`: pass, fail or
    inconclusive. `act`: what to do next, or what failed it, in words; empty where that is nothing,
    or not known by this record alone."""

    decision: str
    act: str = ""


def never_the_same(*given: Any) -> None:
    """For what adds to the record each time."""


def not_judged(record: Any) -> Verdict | None:
    """For what is recorded and not judged."""


@dataclass(frozen=True, slots=True)
class Operation:
    """One thing that is recorded on site.

    `name` is its kind in the queue. `journal_type` is what the journal calls it, the queue of a
    phone and, where it is public, a webhook. `body` is what it takes, and `service` what does it.
    `record` shows the record that it creates or changes; `changes` is what the service calls one
    that it changes. `action` is the method of the record's view, and its address besides those of
    REST. `help` describes the endpoint; whoever has the `capability` may.

    `same` finds the record that says the same already, for what the body says and when it was
    done; of a change, `is_done` tells whether the record says it already. `follows` are kinds that
    were queued before it for the same doorset and have to be done before it.

    `verdict` is what the phone that sent it is answered, beside that it is recorded.
    """

    name: str
    journal_type: JournalType
    body: type[serializers.Serializer]
    service: Callable[..., Record]
    record: type[serializers.ModelSerializer]
    action: str = "create"
    changes: str = ""
    help: str = ""
    capability: Capability = Capability.RECORD_FITTING
    same: Callable[[Mapping[str, Any], datetime], Record | None] = never_the_same
    is_done: Callable[[Any, Mapping[str, Any]], bool | None] = never_the_same
    follows: tuple[str, ...] = ()
    verdict: Callable[[Any], Verdict | None] = not_judged

    @property
    def label(self) -> str:
        """What an entry of it is called in the queue of a phone: `Fixing recorded`."""
        return capfirst(str(self.journal_type.label))

    @property
    def model(self) -> type[Record]:
        model: type[Record] = self.record.Meta.model
        return model

    @property
    def is_partial(self) -> bool:
        """Whether the body names only what changes."""
        return self.action == "partial_update"

    def create(self, actor: Person, key: IdempotencyKey, values: Mapping[str, Any]) -> Record:
        return self.service(actor=actor, idempotency_key=key, **values)

    def change(
        self, actor: Person, record: Record, version: int, values: Mapping[str, Any]
    ) -> Record:
        """`version`: the one that the change was based on."""
        return self.service(
            actor=actor, expected_version=version, **{self.changes: record}, **values
        )
