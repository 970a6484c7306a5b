"""Comparing everything with the journal, and keeping what came of it in the journal itself."""

from dataclasses import dataclass
from datetime import datetime

import msgspec
from django.core.cache import cache
from django.db import transaction

from jobs.journal_types import JournalType
from jobs.models import JournalEntry
from jobs.services.journal import append
from jobs.services.journal_check import Flaw, find_flaws
from jobs.services.record_check import Contradiction, contradicting_records

VERIFICATIONS = "verifications"
# Of a database that was changed all over, the first places say enough.
MOST_NAMED = 100
RUNNING = "verifying-everything"
# A worker that died midway holds nobody up the next night.
LASTS_AT_MOST_SECONDS = 12 * 3600


@dataclass(frozen=True, slots=True)
class Verification:
    """What does not hold: chains of the journal, and records that say something else than it."""

    flaws: list[Flaw]
    contradictions: list[Contradiction]

    @property
    def holds(self) -> bool:
        return not (self.flaws or self.contradictions)


@dataclass(frozen=True, slots=True)
class LastVerification:
    """How many chains and records did not hold when everything was last compared."""

    made_at: datetime
    broken_chains: int
    contradicting_records: int


def verify_everything() -> Verification:
    """Every chain, every record with its parts and its files."""
    return Verification(list(find_flaws()), list(contradicting_records()))


def verify_nightly() -> Verification | None:
    """Compare everything and journal the result; None where somebody is at it already.

    It takes longer than a broker waits before it has a task done again.
    """
    if not cache.add(RUNNING, True, LASTS_AT_MOST_SECONDS):
        return None
    try:
        verification = verify_everything()
        _journal(verification)
    finally:
        cache.delete(RUNNING)
    return verification


@transaction.atomic
def _journal(verification: Verification) -> None:
    flaws, contradictions = verification.flaws, verification.contradictions
    append(
        stream=VERIFICATIONS,
        actor=None,
        entry_type=JournalType.JOURNAL_VERIFIED,
        record=("verification", ""),
        body={
            "broken_chains": len(flaws),
            "contradicting_records": len({(c.kind, c.id) for c in contradictions}),
            "places": [
                *(f"{flaw.stream} {flaw.number}" for flaw in flaws[:MOST_NAMED]),
                *(f"{c.kind} {c.id} {c.place}".strip() for c in contradictions[:MOST_NAMED]),
            ],
        },
    )


def last_verification() -> LastVerification | None:
    entries = JournalEntry.objects.filter(stream=VERIFICATIONS).order_by("-number")
    if entry := entries.first():
        body = msgspec.json.decode(entry.text)["body"]
        return LastVerification(
            entry.created_at, body["broken_chains"], body["contradicting_records"]
        )
    return None
