"""Links that open one document for whoever has them, for a while.

For files too large for an e-mail. Signed with a salt of their own, so that no other signature of
the service opens a document, and expiring, since e-mails are forwarded.
"""

from datetime import timedelta

from django.core import signing

from reports.models import Document

SALT = "reports.paper-link"
LINK_LASTS = timedelta(days=60)


class LinkExpired(Exception):
    """The link was one of ours and has expired."""


def document_token(document: Document) -> str:
    return signing.dumps(str(document.pk), salt=SALT)


def document_of(token: str) -> Document | None:
    """The document that a token opens; None for what was never a token. Raises `LinkExpired`."""
    try:
        key = signing.loads(token, salt=SALT, max_age=LINK_LASTS)
    except signing.SignatureExpired as error:
        raise LinkExpired from error
    except signing.BadSignature:
        return None
    return Document.objects.kept().filter(pk=key).first()
