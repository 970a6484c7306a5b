"""`manage.py grant_rights ROLE`: what the web server and the workers may do in the database."""

import os
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser
from django.db import DatabaseError

from jobs.errors import DomainError
from jobs.services.granting import grant_rights

PASSWORD = "SERVICE_DATABASE_PASSWORD"  # noqa: S105 the name of a variable


class Command(BaseCommand):
    help = (
        "Give a role of PostgreSQL what the service needs, and take from it all else: entries of "
        "the journal, readings and frozen papers it may add, and neither change nor delete. Run it "
        f"as the owner of the tables after each manage.py migrate. With {PASSWORD} set, the role "
        "is made where there is none and signs in with that password."
    )

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("role", metavar="ROLE")

    def handle(self, *args: Any, **options: Any) -> None:
        role = options["role"]
        try:
            append_only = grant_rights(role=role, password=os.environ.get(PASSWORD, ""))
        except (DomainError, DatabaseError) as refusal:
            raise CommandError(f"No right was changed: {refusal}") from refusal
        self.stdout.write(f"{role} may add to {append_only} append-only tables, and change none.")
