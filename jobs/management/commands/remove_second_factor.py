"""`manage.py remove_second_factor NAME`: for somebody who has lost app and recovery codes."""

from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from jobs.models import Person
from jobs.services.second_factor import remove_second_factor


class Command(BaseCommand):
    help = "Let somebody sign in with the password alone again. Make sure who is asking."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("username")

    def handle(self, *args: Any, **options: Any) -> None:
        person = Person.objects.filter(username=options["username"]).first()
        if person is None:
            raise CommandError(f"nobody is called {options['username']}")
        remove_second_factor(actor=None, person=person)
        self.stdout.write(f"{person.username} signs in with the password alone.")
