"""Enrolling and ending the keys that devices sign with."""

from collections.abc import Mapping
from typing import Any

from django.contrib.auth import authenticate
from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from jobs.device_keys import NotSigned, PublicKey
from jobs.errors import Conflict, InvalidField, named
from jobs.idempotency import IdempotencyKey
from jobs.journal_types import JournalType
from jobs.models import EnrolledKey, Person
from jobs.services.password_tries import NameWaits
from jobs.services.records import store_change, store_new
from jobs.translation import translated

SECONDS_PER_MINUTE = 60


def enrol_key(
    *,
    actor: Person,
    password: str,
    device: str,
    public_key: Mapping[str, Any],
    idempotency_key: IdempotencyKey | None = None,
) -> EnrolledKey:
    """Enrol a device of `actor`, who confirms it with their password.

    Raises `InvalidField` for a wrong password, for what is no public key on P-256, and for one that
    is enrolled already.
    """
    try:
        key = PublicKey.read(public_key)
    except NotSigned as fault:
        raise InvalidField("/public_key", translated(fault.why)) from None
    _confirm(actor, password)
    return _enrol(actor, device, key, idempotency_key or IdempotencyKey())


def _confirm(person: Person, password: str) -> None:
    try:
        right = authenticate(None, username=person.username, password=password)
    except NameWaits as waits:
        minutes = -(-waits.seconds // SECONDS_PER_MINUTE)
        text = ngettext(
            "too many wrong passwords: wait {minutes} minute",
            "too many wrong passwords: wait {minutes} minutes",
            minutes,
        )
        raise InvalidField("/password", text.format(minutes=minutes)) from None
    if right != person:
        raise InvalidField("/password", _("this is not your password"))


@transaction.atomic
def _enrol(
    actor: Person, device: str, key: PublicKey, idempotency_key: IdempotencyKey
) -> EnrolledKey:
    _lock(actor)
    if EnrolledKey.objects.filter(thumbprint=key.thumbprint).exists():
        raise InvalidField("/public_key", _("this key is enrolled already; make another one"))
    enrolled = EnrolledKey(
        **idempotency_key.columns,
        person=actor,
        device=device,
        public_key=key.jwk,
        thumbprint=key.thumbprint,
    )
    return store_new(enrolled, actor=actor, entry_type=JournalType.DEVICE_KEY_ENROLLED)


@transaction.atomic
def end_key(*, actor: Person, key: EnrolledKey, expected_version: int, because: str) -> EnrolledKey:
    """From now on signatures of this key count no more. Raises `Conflict` where it was ended."""
    # Whoever takes in what it signed holds the person, too: either comes wholly before the other.
    _lock(key.person)
    key.refresh_from_db()
    if key.ended_at:
        raise Conflict(_("its signatures count no more already"), named(key))
    return store_change(
        key,
        {"ended_at": timezone.now(), "ended_by": actor, "ended_because": because},
        expected_version=expected_version,
        actor=actor,
        entry_type=JournalType.DEVICE_KEY_ENDED,
    )


def _lock(person: Person) -> None:
    Person.objects.select_for_update(no_key=True).get(pk=person.pk)
