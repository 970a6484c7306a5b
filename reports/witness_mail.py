"""The letter that carries a checkpoint to a witness."""

from typing import cast

from django.conf import settings
from django.core.mail import EmailMessage, get_connection
from django.template.loader import render_to_string
from django.urls import reverse
from django.utils.translation import gettext as _

from jobs.models import JournalEntry
from jobs.seal_log import SEALS, Seal
from reports.mail import ANSWER_WITHIN_SECONDS, handed_over
from reports.models import Dispatch
from reports.verification.witnesses import Witness


def send_to_witness(dispatch: Dispatch) -> str:
    """Hand the letter to the mail server; returns the outcome. Raises `DeliveryFailed`."""
    return handed_over(letter_of(dispatch))


def letter_of(dispatch: Dispatch) -> EmailMessage:
    seal = Seal.read(cast(JournalEntry, dispatch.entry))
    witness = _witness(dispatch, seal)
    context = {
        "seal": seal,
        "first": witness.first_seal,
        "firm": settings.FIRM_NAME,
        "firm_telephone": settings.FIRM_TELEPHONE,
        "address": f"{settings.PUBLIC_ADDRESS}{reverse('checkpoints')}",
    }
    letter = EmailMessage(
        subject=_("Checkpoint {number} of {firm}, to be kept").format(
            number=seal.number, firm=settings.FIRM_NAME
        ),
        body=render_to_string("reports/witness_letter.txt", context),
        to=[dispatch.recipient],
        headers={"Message-ID": dispatch.message_id},
        connection=get_connection(timeout=ANSWER_WITHIN_SECONDS),
    )
    letter.attach(f"checkpoint-{seal.number}.json", witness.write(), "application/json")
    return letter


def _witness(dispatch: Dispatch, seal: Seal) -> Witness:
    """With the seals since the last letter that was taken for this address."""
    sent = Dispatch.objects.filter(
        channel=Dispatch.Channel.WITNESS,
        recipient=dispatch.recipient,
        state=Dispatch.State.SENT,
        entry__number__lt=seal.number,
    )
    last = max(sent.values_list("entry__number", flat=True), default=0)
    seals = JournalEntry.objects.filter(
        stream_id=SEALS, number__gt=last, number__lte=seal.number
    ).order_by("number")
    roots = tuple(seals.values_list("record_id", flat=True))
    return Witness(seal.checkpoint, seal.key, last + 1, roots)
