"""Verifying every signature of a device anew, with the keys as the journal says they were enrolled.

A signature holds where it is by a key that the person of the entry had enrolled, and had not ended
yet, over what the entry says of its record.
"""

from dataclasses import dataclass
from datetime import datetime
from typing import Any, Self

import msgspec
from django.apps import apps

from jobs.device_keys import NotSigned, PublicKey, SignedText
from jobs.journal_types import JournalType
from jobs.models import EnrolledKey, JournalEntry, Journalled, SealedContent
from jobs.services.as_signed import differing
from jobs.services.states import sealed_columns

# What of an operation names its record, or itself where it was set aside.
NAMES = ("record", "id")


@dataclass(frozen=True, slots=True)
class KeyOnRecord:
    """A key from its enrolment on, until it was ended."""

    key: PublicKey
    person: str
    since: datetime
    until: datetime | None = None


class KeysOnRecord:
    """Every key that the journal tells of, by its thumbprint."""

    def __init__(self, keys: dict[str, KeyOnRecord]) -> None:
        self._keys = keys

    @classmethod
    def read(cls) -> Self:
        keys: dict[str, KeyOnRecord] = {}
        entries = JournalEntry.objects.filter(record_kind=EnrolledKey._meta.label_lower)
        for entry in entries.order_by("stream", "number"):
            state = msgspec.json.decode(entry.text)["body"]
            try:
                key = PublicKey.read(state["public_key"])
            except NotSigned:
                continue
            until = entry.created_at if entry.type == JournalType.DEVICE_KEY_ENDED else None
            first = keys.get(key.thumbprint)
            since = first.since if first else entry.created_at
            keys[key.thumbprint] = KeyOnRecord(key, state["person"], since, until)
        return cls(keys)

    def what_is_wrong(self, entry: JournalEntry, text: dict[str, Any]) -> str | None:
        """With the signature of an entry; None where it holds, or there is none."""
        signature = text.get("signature")
        if signature is None:
            return None
        try:
            signed = SignedText.read(signature["jws"])
        except NotSigned as fault:
            return f"its signature cannot be read: {fault}"
        on_record = self._keys.get(signature["thumbprint"])
        if on_record is None:
            return "it is signed with a key that was not enrolled"
        if on_record.person != text["actor"]:
            return "it is signed with the key of somebody else"
        if entry.created_at < on_record.since or _is_after(entry, on_record.until):
            return "it is signed with a key that was not enrolled then"
        return _what_is_wrong_with_content(entry, text["body"], signed, on_record.key)


def _is_after(entry: JournalEntry, until: datetime | None) -> bool:
    return until is not None and entry.created_at > until


def _what_is_wrong_with_content(
    entry: JournalEntry, state: dict[str, Any], signed: SignedText, key: PublicKey
) -> str | None:
    if not signed.payload:
        kept = SealedContent.objects.filter(entry=entry).first()
        if kept is None:
            return None if _is_erased(entry) else "what was signed is missing"
        signed = signed.with_payload(kept.payload)
    if not signed.is_by(key):
        return "its signature is not over what was signed"
    content = signed.content
    if entry.record_id not in (content.get(name) for name in NAMES):
        return "what was signed is about another record"
    # What was set aside is kept as it was said.
    told = state if entry.record_id == content["record"] else state["body"]
    if names := differing(content["body"], told, _sealed(entry.record_kind)):
        return f"it does not say what was signed of it: {', '.join(names)}"
    return None


def _sealed(kind: str) -> frozenset[str]:
    """A kind that there is not is named where records are compared."""
    try:
        model: type[Journalled] = apps.get_model(kind)
        return sealed_columns(model)
    except LookupError:
        return frozenset()


def _is_erased(entry: JournalEntry) -> bool:
    """Whether a later entry says that what the customer asked for was erased."""
    return JournalEntry.objects.filter(
        stream_id=entry.stream_id,
        record_id=entry.record_id,
        number__gt=entry.number,
        type=JournalType.CUSTOMER_ERASED,
    ).exists()
