"""`manage.py erase_customer ID --reason WHY`: who a customer is leaves the records."""

from typing import Any
from uuid import UUID

from django.core.management.base import BaseCommand, CommandError, CommandParser

from jobs.errors import DomainError
from jobs.models import Customer
from upkeep.services.erasure import Erasure, erase_customer


class Command(BaseCommand):
    help = (
        "Erase name, addresses, signature and papers of a customer for good; what was measured and "
        "fitted stays on record. Make sure who is asking; `export_person` first, if they want it."
    )

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("customer", type=UUID, metavar="ID")
        parser.add_argument("--reason", required=True, help="Stays in the journal; name nobody.")
        parser.add_argument(
            "--in-spite-of-retention",
            default="",
            metavar="WHY",
            help="Before RETENTION_YEARS are over; stays in the journal, too.",
        )

    def handle(self, *args: Any, **options: Any) -> None:
        customer = Customer.objects.filter(pk=options["customer"]).first()
        if customer is None:
            raise CommandError(f"there is no customer {options['customer']}")
        try:
            erasure = erase_customer(
                actor=None,
                customer=customer,
                expected_version=customer.version,
                reason=options["reason"],
                in_spite_of_retention=options["in_spite_of_retention"],
            )
        except DomainError as refusal:
            raise CommandError(str(refusal)) from refusal
        self._tell(erasure)

    def _tell(self, erasure: Erasure) -> None:
        self.stdout.write(f"Customer {erasure.customer.pk} is erased.")
        for site in erasure.kept_sites:
            self.stdout.write(f"Kept, as another customer has had work done there: site {site.pk}")
        for entry in erasure.named_in:
            self.stdout.write(f"Still named in what somebody typed: {entry}")
        self.stdout.write("Archives made before today hold them until they are thrown away.")
