"""`manage.py record_bounce`: an e-mail that came back, as a mail server pipes it in."""

import sys
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from reports.bounces import NotABounce, read_bounce
from reports.services.dispatches import record_bounce


class Command(BaseCommand):
    help = (
        "Reads one delivery status notification (RFC 3464) from standard input and notes which "
        "e-mail came back. Pipe the mailbox that papers are sent from into it."
    )

    def handle(self, *args: Any, **options: Any) -> None:
        try:
            dispatch = record_bounce(bounce=read_bounce(sys.stdin.buffer.read()))
        except NotABounce as error:
            raise CommandError(str(error)) from error
        self.stdout.write(dispatch.outcome if dispatch else "none of our e-mails")
