"""Giving out and ending the secret address of a crew's calendar."""

from typing import NamedTuple

from django.db import transaction
from django.utils.translation import gettext as _

from jobs.crew_calendars import digest_of, new_secret
from jobs.errors import Conflict, named
from jobs.journal_types import JournalType
from jobs.models import Crew, Person
from jobs.services.records import store_change


class GivenOut(NamedTuple):
    """The crew as changed, and the secret, which is kept nowhere."""

    crew: Crew
    secret: str


@transaction.atomic
def give_out_calendar(*, actor: Person, crew: Crew, expected_version: int) -> GivenOut:
    """A new secret address for the calendar of a crew; the one before ends with it.

    The journal keeps who gave one out, and the digest of its secret.
    """
    secret = new_secret()
    changed = store_change(
        crew,
        {"calendar_digest": digest_of(secret)},
        expected_version=expected_version,
        actor=actor,
        entry_type=JournalType.CREW_CALENDAR_ISSUED,
    )
    return GivenOut(changed, secret)


@transaction.atomic
def end_calendar(*, actor: Person, crew: Crew, expected_version: int) -> Crew:
    """End the address of a crew's calendar. Raises `Conflict` where the crew has none."""
    if not crew.has_calendar:
        raise Conflict(_("this crew has no calendar address to end"), named(crew))
    return store_change(
        crew,
        {"calendar_digest": None},
        expected_version=expected_version,
        actor=actor,
        entry_type=JournalType.CREW_CALENDAR_REVOKED,
    )
