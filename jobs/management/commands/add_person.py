"""`manage.py add_person NAME --role office`: the first person, who adds the others."""

import os
from getpass import getpass
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from jobs.errors import InvalidField
from jobs.models import Role
from jobs.services.people import add_person


class Command(BaseCommand):
    help = "Add somebody who may sign in. The password is asked for, or read from NEW_PASSWORD."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("username")
        parser.add_argument("--role", action="append", choices=Role.values, required=True)
        parser.add_argument("--first-name", default="")
        parser.add_argument("--last-name", default="")
        parser.add_argument("--email", default="")

    def handle(self, *args: Any, **options: Any) -> None:
        password = os.environ.get("NEW_PASSWORD") or getpass("Password: ")
        try:
            add_person(
                actor=None,
                username=options["username"],
                password=password,
                full_name=(options["first_name"], options["last_name"]),
                email=options["email"],
                roles=options["role"],
            )
        except InvalidField as error:
            raise CommandError(str(error)) from error
        self.stdout.write(f"{options['username']} may sign in as {', '.join(options['role'])}.")
