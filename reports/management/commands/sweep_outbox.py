"""`manage.py sweep_outbox`: what the scheduler does, for installations without one."""

from typing import Any

from django.core.management.base import BaseCommand

from jobs.services.seals import seal_streams
from reports.tasks import stamp_papers, sweep, write_to_witnesses


class Command(BaseCommand):
    help = "Makes the papers and sends the messages that are due, and seals the journal."

    def handle(self, *args: Any, **options: Any) -> None:
        sweep()
        stamp_papers()
        seal_streams()
        write_to_witnesses()
