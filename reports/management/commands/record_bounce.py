"""`manage.py record_bounce`: a letter that came back, as a mail server pipes it in."""

import sys
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from reports.bounces import NotABounce, read_bounce
from reports.services.dispatches import record_bounce


class Command(BaseCommand):
    help = (
        "Reads one delivery status notification (RFC 3464) from standard input and notes which "
        "letter came back. Point the mailbox that papers are sent from at it."
    )

    def handle(self, *args: Any, **options: Any) -> None:
        try:
            letter = record_bounce(bounce=read_bounce(sys.stdin.buffer.read()))
        except NotABounce as reason:
            raise CommandError(str(reason)) from reason
        self.stdout.write(letter.outcome if letter else "none of our letters")
