"""`manage.py take_over_records`: once, after an update from before entries held whole records."""

from typing import Any

from django.core.management.base import BaseCommand

from jobs.services.taking_over import take_over_records


class Command(BaseCommand):
    help = (
        "Journal the state of every record of which the journal tells without its state, as it is "
        "now; from there on verify_journal compares it. Does nothing a second time."
    )

    def handle(self, *args: Any, **options: Any) -> None:
        self.stdout.write(f"Took over {take_over_records()} records.")
