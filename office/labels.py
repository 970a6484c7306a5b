"""An entry of the journal, and what was set aside on site, as pages show them."""

import json
import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.apps import apps
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from installs.models import SetAside
from installs.operations import OPERATIONS
from jobs.code_labels import code_label
from jobs.figures import moment
from jobs.journal_types import JournalType
from jobs.models import JournalEntry

SEALED = "hmac-sha256:"
LONGEST_VALUE = 120
IDENTITY = re.compile(r"[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}")
# They name other records or count changes, which the words beside them say better.
LEFT_OUT = {"id", "version", "creation_digest", "created_at", "updated_at"}


@dataclass(frozen=True, slots=True)
class JournalField:
    """A field of a record before (None for a new record) and after the entry."""

    name: str
    before: str | None
    after: str


@dataclass(frozen=True, slots=True)
class JournalLine:
    number: int
    created_at: datetime
    who: str
    type: str
    record: str
    fields: list[JournalField]
    digest: str
    signed: str


def journal_line(entry: Any, devices: Mapping[str, str]) -> JournalLine:
    """Of an entry with its `text_before`: of a change what changed, of a new record all of it.

    `devices` are the names of those that sign, by the thumbprints of their keys.
    """
    text = json.loads(entry.text)
    body = text["body"]
    before = json.loads(entry.text_before)["body"] if entry.text_before else None
    return JournalLine(
        number=entry.number,
        created_at=entry.created_at,
        who=entry.actor.display_name if entry.actor else _("automatically"),
        type=_type(entry),
        record=_kind(entry),
        fields=_fields(body, before),
        digest=entry.digest,
        signed=_signed(text, devices),
    )


def _signed(text: dict[str, Any], devices: Mapping[str, str]) -> str:
    """Nothing for what did not come from a phone."""
    if "signature" not in text:
        return ""
    if text["signature"] is None:
        return _("not signed by a phone")
    device = devices.get(text["signature"]["thumbprint"], _("unknown"))
    return _("signed by the phone “{device}”").format(device=device)


@dataclass(frozen=True, slots=True)
class SetAsideLine:
    """What somebody set aside on site: `label` of its kind, `fields` as they were given."""

    kept: SetAside
    label: str
    fields: list[JournalField]


def set_aside_line(kept: SetAside) -> SetAsideLine:
    """A kind that another release recorded is shown as it is."""
    operation = OPERATIONS.get(kept.kind)
    label = operation.label if operation else code_label(kept.kind)
    said = {name: value for name, value in kept.body.items() if not _is_identity(value)}
    return SetAsideLine(kept, label, _fields(said, None))


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


def _fields(body: dict[str, Any], before: dict[str, Any] | None) -> list[JournalField]:
    return [
        JournalField(
            code_label(name),
            None if before is None else _words(before.get(name)),
            _words(value),
        )
        for name, value in body.items()
        if name not in LEFT_OUT and _differs(name, value, before)
    ]


def _differs(name: str, value: Any, before: dict[str, Any] | None) -> bool:
    return value not in (None, "", [], {}) if before is None else value != before.get(name)


def _words(value: Any) -> str:
    if value in (None, "", [], {}):
        return _("nothing")
    if isinstance(value, bool):
        return _("yes") if value else _("no")
    if isinstance(value, str):
        return _words_of_text(value)
    if isinstance(value, list):
        return _words_of_list(value)
    if isinstance(value, dict):
        parts = (f"{code_label(name)} {_words(part)}" for name, part in value.items())
        return _shortened(", ".join(parts))
    return str(value)


def _words_of_text(text: str) -> str:
    if text.startswith(SEALED):
        return _("kept under seal")
    if _is_identity(text):
        return _("record {number}").format(number=text[:8])
    return moment(text) or _shortened(text)


def _words_of_list(values: list[Any]) -> str:
    if all(map(_is_identity, values)):
        return ngettext("{count} record", "{count} records", len(values)).format(count=len(values))
    return _shortened(", ".join(map(_words, values)))


def _is_identity(value: Any) -> bool:
    return isinstance(value, str) and bool(IDENTITY.fullmatch(value))


def _shortened(text: str) -> str:
    return f"{text[:LONGEST_VALUE]}…" if len(text) > LONGEST_VALUE else text
