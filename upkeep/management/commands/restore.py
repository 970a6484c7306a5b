"""`manage.py restore FILE`: an archive of `back_up` into an installation that holds nothing yet."""

import os
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from jobs.errors import DomainError
from upkeep.backup.archive import PASSPHRASE
from upkeep.backup.refusals import BackupRefused
from upkeep.backup.restoring import restore
from upkeep.backup.verifying import what_does_not_hold


class Command(BaseCommand):
    help = (
        "Put an archive back, after manage.py migrate and before anything else, and hold the "
        f"journal and every file against their digests. {PASSPHRASE} opens an encrypted one."
    )

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("archive", type=Path, metavar="FILE")
        parser.add_argument(
            "--with-keys", action="store_true", help="Put its keys into the data folder, too."
        )

    def handle(self, *args: Any, **options: Any) -> None:
        try:
            manifest = restore(
                options["archive"],
                passphrase=os.environ.get(PASSPHRASE, ""),
                with_keys=options["with_keys"],
            )
        except (BackupRefused, DomainError, OSError) as error:
            raise CommandError(f"Nothing was restored: {error}") from error
        rows = sum(manifest.counts.values())
        self.stdout.write(f"Restored {rows} rows as they were at {manifest.made_at}.")
        flaws = list(what_does_not_hold())
        for flaw in flaws:
            self.stderr.write(flaw)
        if flaws:
            raise CommandError(f"What was restored does not hold in {len(flaws)} place(s).")
        self.stdout.write("The journal holds, and every paper and photo is the one that was kept.")
