"""`manage.py export_person EMAIL_OR_ID FOLDER`: what the firm holds about a customer."""

from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from upkeep.personal_data.export import export_to
from upkeep.personal_data.finding import customers_called


class Command(BaseCommand):
    help = (
        "Write everything on record about a customer as JSON, with their papers and photos, into "
        "a folder for each customer of this e-mail address. Make sure who is asking."
    )

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("customer", metavar="EMAIL_OR_ID")
        parser.add_argument("folder", type=Path, metavar="FOLDER")

    def handle(self, *args: Any, **options: Any) -> None:
        customers = customers_called(options["customer"])
        if not customers:
            raise CommandError(f"no customer is on record as {options['customer']}")
        for customer in customers:
            folder = options["folder"] / str(customer.pk)
            try:
                missing = export_to(folder, customer)
            except OSError as error:
                raise CommandError(str(error)) from error
            for name in missing:
                self.stderr.write(f"A record names {name}, and there is no such file.")
            self.stdout.write(f"{customer.name}: {folder}")
