"""The letter that carries a paper to the customer."""

import smtplib
from typing import cast

from django.conf import settings
from django.core.mail import EmailMultiAlternatives, get_connection
from django.template.loader import render_to_string

from reports.addresses import paper_address, verification_address
from reports.errors import DeliveryFailed
from reports.models import Dispatch, Document
from reports.paper_links import LINK_LASTS

ANSWER_WITHIN_SECONDS = 60
# From this code on a refusal is final (RFC 5321, 4.2.1).
REFUSED_FOR_GOOD = 500


def send_letter(dispatch: Dispatch) -> str:
    """Hand the letter to the mail server; returns what came of it. Raises `DeliveryFailed`."""
    letter = letter_of(dispatch)
    try:
        letter.send()
    except (smtplib.SMTPException, OSError) as fault:
        raise _in_words(fault) from fault
    return "accepted by the mail server"


def letter_of(dispatch: Dispatch) -> EmailMultiAlternatives:
    """The e-mail of a dispatch under the Message-ID of its row, in plain text and HTML.

    The paper is attached, or linked where it is larger than mail servers like.
    """
    document = cast(Document, dispatch.document)
    attached = document.file.size <= settings.EMAIL_LARGEST_ATTACHMENT
    facts = _facts(document, attached=attached)
    letter = EmailMultiAlternatives(
        subject=f"{document.title} {document.number} from {settings.FIRM_NAME}",
        body=render_to_string("reports/letter.txt", facts),
        to=[dispatch.recipient],
        headers={"Message-ID": dispatch.message_id},
        connection=get_connection(timeout=ANSWER_WITHIN_SECONDS),
    )
    letter.attach_alternative(render_to_string("reports/letter.html", facts), "text/html")
    if attached:
        with document.file.open("rb") as paper:
            letter.attach(document.filename, paper.read(), "application/pdf")
    return letter


def _facts(document: Document, *, attached: bool) -> dict[str, object]:
    return {
        "document": document,
        "customer": document.job.customer,
        "job": document.job,
        "firm": settings.FIRM_NAME,
        "firm_telephone": settings.FIRM_TELEPHONE,
        "address": verification_address(document.verification_code),
        "paper_address": "" if attached else paper_address(document),
        "link_lasts_days": LINK_LASTS.days,
    }


def _in_words(fault: Exception) -> DeliveryFailed:
    """What went wrong, without the address it was for."""
    if isinstance(fault, smtplib.SMTPRecipientsRefused):
        numbers = sorted({code for code, _ in fault.recipients.values()})
        told = ", ".join(map(str, numbers))
        return DeliveryFailed(
            f"the mail server refused the address ({told})",
            final=all(code >= REFUSED_FOR_GOOD for code in numbers),
        )
    if isinstance(fault, smtplib.SMTPResponseException):
        return DeliveryFailed(f"the mail server answered {fault.smtp_code}")
    return DeliveryFailed(f"the mail server could not be used ({type(fault).__name__})")
