"""`manage.py verify_journal`: does the journal still hold, and does everything agree with it?"""

from typing import Any

from django.core.management.base import BaseCommand, CommandError

from jobs.models import JournalEntry, JournalStream
from jobs.services.verifying import verify_everything


class Command(BaseCommand):
    help = (
        "Check the journal's chains and seals, and compare every record, its parts and its files "
        "with it; names the first broken entry of each chain, and each place that differs."
    )

    def handle(self, *args: Any, **options: Any) -> None:
        verification = verify_everything()
        for flaw in verification.flaws:
            self.stderr.write(f"{flaw.stream}, entry {flaw.number}: {flaw.why}")
        for contradiction in verification.contradictions:
            self.stderr.write(str(contradiction))
        if not verification.holds:
            raise CommandError(
                f"the journal is broken in {len(verification.flaws)} chain(s), and "
                f"{len(verification.contradictions)} place(s) differ from it"
            )
        chains, entries = JournalStream.objects.count(), JournalEntry.objects.count()
        self.stdout.write(
            f"The journal holds, and every record agrees with it: {entries} entries in {chains} "
            "chains."
        )
