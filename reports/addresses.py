"""Public addresses that are printed and mailed."""

from django.conf import settings
from django.urls import reverse


def verification_address(code: str) -> str:
    """Where anybody who holds the paper can see whether it is genuine."""
    return f"{settings.PUBLIC_ADDRESS}{reverse('verify', args=[code])}"
