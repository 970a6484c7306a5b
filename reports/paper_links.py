"""Links that open one paper for whoever holds them, for a while.

For papers too large for a letter. Signed with a salt of their own, so that no other signature of
the service opens a paper, and expiring, since letters are forwarded.
"""

from datetime import timedelta

from django.core import signing

from reports.models import Document

SALT = "reports.paper-link"
LINK_LASTS = timedelta(days=60)


class LinkExpired(Exception):
    """The link was one of ours; its time is over."""


def paper_token(document: Document) -> str:
    return signing.dumps(str(document.pk), salt=SALT)


def paper_of(token: str) -> Document | None:
    """The paper that a token opens; None for what was never a token. Raises `LinkExpired`."""
    try:
        key = signing.loads(token, salt=SALT, max_age=LINK_LASTS)
    except signing.SignatureExpired as over:
        raise LinkExpired from over
    except signing.BadSignature:
        return None
    return Document.objects.kept().filter(pk=key).first()
