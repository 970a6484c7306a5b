"""Customers by what somebody who asks about themselves can name."""

from uuid import UUID

from jobs.models import Customer


def customers_called(email_or_id: str) -> list[Customer]:
    """Every customer of an e-mail address, however it is capitalised, or the one of an id."""
    try:
        return list(Customer.objects.filter(pk=UUID(email_or_id)))
    except ValueError:
        return list(Customer.objects.filter(email__iexact=email_or_id).order_by("pk"))
