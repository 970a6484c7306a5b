"""What an entry of the journal says, in words."""

import json
import re
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.apps import apps
from django.template.defaultfilters import pluralize

from jobs.figures import moment
from jobs.journal_types import JournalType
from jobs.models import JournalEntry

SEALED = "hmac-sha256:"
LONGEST_VALUE = 120
IDENTITY = re.compile(r"[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}")
# They name other records or count changes, which the words beside them say better.
LEFT_OUT = {"id", "version", "creation_digest"}


@dataclass(frozen=True, slots=True)
class Written:
    """A field of a record: how it was (None for a new record) and how it is since."""

    name: str
    before: str | None
    since: str


@dataclass(frozen=True, slots=True)
class Told:
    number: int
    created_at: datetime
    who: str
    type: str
    record: str
    written: list[Written]
    digest: str


def told(entry: Any) -> Told:
    """Of an entry with its `text_before`: a change tells what changed, a new record all of it."""
    body = json.loads(entry.text)["body"]
    before = json.loads(entry.text_before)["body"] if entry.text_before else None
    return Told(
        number=entry.number,
        created_at=entry.created_at,
        who=entry.actor.display_name if entry.actor else "the service by itself",
        type=_type(entry),
        record=_kind(entry),
        written=_written(body, before),
        digest=entry.digest,
    )


def _type(entry: JournalEntry) -> str:
    """A type that another release wrote is shown as it is."""
    try:
        return str(JournalType(entry.type).label)
    except ValueError:
        return entry.type


def _kind(entry: JournalEntry) -> str:
    try:
        return str(apps.get_model(entry.record_kind)._meta.verbose_name)
    except LookupError:
        return entry.record_kind


def _written(body: dict[str, Any], before: dict[str, Any] | None) -> list[Written]:
    return [
        Written(
            name.replace("_", " "),
            None if before is None else _words(before.get(name)),
            _words(value),
        )
        for name, value in body.items()
        if name not in LEFT_OUT and _is_worth_telling(name, value, before)
    ]


def _is_worth_telling(name: str, value: Any, before: dict[str, Any] | None) -> bool:
    return value not in (None, "", [], {}) if before is None else value != before.get(name)


def _words(value: Any) -> str:
    if value in (None, "", [], {}):
        return "nothing"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, str):
        return _words_of_text(value)
    if isinstance(value, list):
        return _words_of_list(value)
    if isinstance(value, dict):
        told = (f"{name.replace('_', ' ')} {_words(one)}" for name, one in value.items())
        return _shortened(", ".join(told))
    return str(value)


def _words_of_text(text: str) -> str:
    if text.startswith(SEALED):
        return "kept under seal"
    if _is_identity(text):
        return f"record {text[:8]}"
    return moment(text) or _shortened(text)


def _words_of_list(values: list[Any]) -> str:
    if all(map(_is_identity, values)):
        return f"{len(values)} record{pluralize(len(values))}"
    return _shortened(", ".join(map(_words, values)))


def _is_identity(value: Any) -> bool:
    return isinstance(value, str) and bool(IDENTITY.fullmatch(value))


def _shortened(text: str) -> str:
    return f"{text[:LONGEST_VALUE]}…" if len(text) > LONGEST_VALUE else text
