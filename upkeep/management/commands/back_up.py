"""`manage.py back_up FOLDER_OR_FILE`: everything that is on record, in one file."""

import os
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from upkeep.backup.archive import PASSPHRASE
from upkeep.backup.backing_up import archive_path, back_up
from upkeep.backup.refusals import BackupRefused


class Command(BaseCommand):
    help = (
        "Write the database and every file it names into one archive, encrypted where "
        f"{PASSPHRASE} is set. It holds what customers told the firm: keep it as carefully."
    )

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("target", type=Path, metavar="FOLDER_OR_FILE")
        parser.add_argument(
            "--with-keys",
            action="store_true",
            help="Put in the keys that sign papers, links and sessions, too. Without them nobody "
            "who finds the archive can sign as the firm; papers already issued need none.",
        )

    def handle(self, *args: Any, **options: Any) -> None:
        passphrase = os.environ.get(PASSPHRASE, "")
        path = archive_path(options["target"])
        try:
            manifest = back_up(path, passphrase=passphrase, with_keys=options["with_keys"])
        except (BackupRefused, OSError) as error:
            raise CommandError(str(error)) from error
        for name in manifest.missing:
            self.stderr.write(f"A record names {name}, and there is no such file.")
        rows, parts = sum(manifest.counts.values()), len(manifest.parts)
        kept = "encrypted" if passphrase else f"not encrypted, as {PASSPHRASE} is not set"
        self.stdout.write(f"{path}: {rows} rows in {parts} parts, read back; {kept}.")
