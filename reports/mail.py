"""The message that carries a paper to the customer."""

from django.conf import settings
from django.core.mail import EmailMessage, get_connection
from django.template.loader import render_to_string

from reports.addresses import verification_address
from reports.models import Dispatch

ANSWER_WITHIN_SECONDS = 60


def message_of(dispatch: Dispatch) -> EmailMessage:
    """The e-mail of a dispatch, the paper attached, under the Message-ID of its row."""
    document = dispatch.document
    facts = {
        "document": document,
        "customer": document.job.customer,
        "job": document.job,
        "firm": settings.FIRM_NAME,
        "firm_telephone": settings.FIRM_TELEPHONE,
        "address": verification_address(document.verification_code),
    }
    message = EmailMessage(
        subject=f"{document.title} {document.number} from {settings.FIRM_NAME}",
        body=render_to_string("reports/certificate_mail.txt", facts),
        to=[dispatch.recipient],
        headers={"Message-ID": dispatch.message_id},
        connection=get_connection(timeout=ANSWER_WITHIN_SECONDS),
    )
    with document.file.open("rb") as paper:
        message.attach(document.filename, paper.read(), "application/pdf")
    return message
