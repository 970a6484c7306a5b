"""`manage.py verify_journal`: does every chain of the journal still hold?"""

from typing import Any

from django.core.management.base import BaseCommand, CommandError

from jobs.models import JournalEntry, JournalStream
from jobs.services.journal_check import find_flaws


class Command(BaseCommand):
    help = "Check the journal's chains and seals; names the first broken entry of each chain."

    def handle(self, *args: Any, **options: Any) -> None:
        flaws = list(find_flaws())
        for flaw in flaws:
            self.stderr.write(f"{flaw.stream}, entry {flaw.number}: {flaw.why}")
        if flaws:
            raise CommandError(f"the journal is broken in {len(flaws)} chain(s)")
        chains, entries = JournalStream.objects.count(), JournalEntry.objects.count()
        self.stdout.write(f"The journal holds: {entries} entries in {chains} chains.")
