"""The e-mail that carries a document to the customer."""

import smtplib
from typing import cast

from django.conf import settings
from django.core.mail import EmailMessage, EmailMultiAlternatives, get_connection
from django.template.loader import render_to_string
from django.utils.translation import gettext as _

from jobs.sentences import StoredSentence, sentence
from reports.addresses import document_address, verification_address
from reports.document_links import LINK_LASTS
from reports.errors import DeliveryFailed
from reports.genuine_files import require_genuine
from reports.models import Dispatch, Document

ANSWER_WITHIN_SECONDS = 60
# From this code on a refusal is final (RFC 5321, 4.2.1).
REFUSED_FOR_GOOD = 500
ADDRESS_REFUSED = StoredSentence("the mail server refused the address ({codes})")
ANSWERED = StoredSentence("the mail server answered {code}")
NOT_USABLE = StoredSentence("the mail server could not be used ({error})")


def send_email(dispatch: Dispatch) -> str:
    """Hand the e-mail to the mail server; returns the outcome.

    Raises `DeliveryFailed`, and `ContradictsJournal` for a file that is not the one that was made.
    """
    require_genuine(cast(Document, dispatch.document))
    return handed_over(email_of(dispatch))


def handed_over(email: EmailMessage) -> str:
    """The outcome of giving an e-mail to the mail server. Raises `DeliveryFailed`."""
    try:
        email.send()
    except (smtplib.SMTPException, OSError) as error:
        raise _delivery_failed(error) from error
    return sentence("accepted by the mail server")


def email_of(dispatch: Dispatch) -> EmailMultiAlternatives:
    """The e-mail of a dispatch under the Message-ID of its row, in plain text and HTML.

    The file is attached, or linked where it is larger than mail servers like.
    """
    document = cast(Document, dispatch.document)
    attached = document.file.size <= settings.EMAIL_LARGEST_ATTACHMENT
    context = _context(document, attached=attached)
    email = EmailMultiAlternatives(
        subject=_("{title} {number} from {firm}").format(
            title=document.title, number=document.number, firm=settings.FIRM_NAME
        ),
        body=render_to_string("reports/letter.txt", context),
        to=[dispatch.recipient],
        headers={"Message-ID": dispatch.message_id},
        connection=get_connection(timeout=ANSWER_WITHIN_SECONDS),
    )
    email.attach_alternative(render_to_string("reports/letter.html", context), "text/html")
    if attached:
        with document.file.open("rb") as file:
            email.attach(document.filename, file.read(), "application/pdf")
    return email


def _context(document: Document, *, attached: bool) -> dict[str, object]:
    return {
        "document": document,
        "customer": document.job.customer,
        "job": document.job,
        "firm": settings.FIRM_NAME,
        "firm_telephone": settings.FIRM_TELEPHONE,
        "address": verification_address(document.verification_code),
        "document_address": "" if attached else document_address(document),
        "link_lasts_days": LINK_LASTS.days,
    }


def _delivery_failed(error: Exception) -> DeliveryFailed:
    """What went wrong, without the address it was for."""
    if isinstance(error, smtplib.SMTPRecipientsRefused):
        codes = sorted({code for code, _message in error.recipients.values()})
        return DeliveryFailed(
            ADDRESS_REFUSED(codes=", ".join(map(str, codes))),
            final=all(code >= REFUSED_FOR_GOOD for code in codes),
        )
    if isinstance(error, smtplib.SMTPResponseException):
        return DeliveryFailed(ANSWERED(code=error.smtp_code))
    return DeliveryFailed(NOT_USABLE(error=type(error).__name__))
