"""Public addresses that are printed and mailed."""

from django.conf import settings
from django.urls import reverse

from jobs.models import Job
from reports.document_links import document_token
from reports.handover_links import handover_token
from reports.models import Document


def verification_address(code: str) -> str:
    """Where anybody who holds the paper can see whether it is genuine."""
    return f"{settings.PUBLIC_ADDRESS}{reverse('verify', args=[code])}"


def document_address(document: Document) -> str:
    """Where whoever holds this address fetches the paper, for a while."""
    return f"{settings.PUBLIC_ADDRESS}{reverse('linked-document', args=[document_token(document)])}"


def handover_address(job: Job) -> str:
    """Where the customer sees what was fitted, for a while."""
    return f"{settings.PUBLIC_ADDRESS}{reverse('customer-handover', args=[handover_token(job)])}"
