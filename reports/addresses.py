"""Public addresses that are printed and mailed."""

from django.conf import settings
from django.urls import reverse

from reports.models import Document
from reports.paper_links import paper_token


def verification_address(code: str) -> str:
    """Where anybody who holds the paper can see whether it is genuine."""
    return f"{settings.PUBLIC_ADDRESS}{reverse('verify', args=[code])}"


def paper_address(document: Document) -> str:
    """Where whoever holds this address fetches the paper, for a while."""
    return f"{settings.PUBLIC_ADDRESS}{reverse('linked-paper', args=[paper_token(document)])}"
