"""Secret addresses at which the calendars of crews are read, by whoever knows one."""

import hashlib
import secrets

from django.conf import settings
from django.urls import reverse

from jobs.models import Crew

SECRET_BYTES = 32


def new_secret() -> str:
    """256 random bits, so that nobody finds an address by trying."""
    return secrets.token_urlsafe(SECRET_BYTES)


def digest_of(secret: str) -> str:
    """SHA-256 in hexadecimal. It needs no key: there is no guessing at 256 bits."""
    return hashlib.sha256(secret.encode()).hexdigest()


def crew_of(secret: str) -> Crew | None:
    """The crew whose calendar has this secret in its address; None for an ended or unknown one."""
    return Crew.objects.filter(calendar_digest=digest_of(secret)).first()


def calendar_address(secret: str) -> str:
    return f"{settings.PUBLIC_ADDRESS}{reverse('crew-calendar', args=[secret])}"
