"""`manage.py sweep_outbox`: what the scheduler does every minute, for installations without one."""

from typing import Any

from django.core.management.base import BaseCommand

from reports.tasks import sweep


class Command(BaseCommand):
    help = "Makes the papers and sends the messages that are due."

    def handle(self, *args: Any, **options: Any) -> None:
        sweep()
