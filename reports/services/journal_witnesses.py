"""Adding and ending the witnesses of the journal."""

from django.conf import settings
from django.db import IntegrityError, transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from jobs.errors import Conflict, InvalidField, named
from jobs.idempotency import IdempotencyKey
from jobs.journal_types import JournalType
from jobs.models import Person
from jobs.services.records import store_change, store_new
from reports.models import JournalWitness

POINTER = "/email"


@transaction.atomic
def add_witness(
    *, actor: Person, idempotency_key: IdempotencyKey, name: str, email: str, standing: str
) -> JournalWitness:
    """Somebody who gets a letter once a month from now on. Raises `InvalidField` for an address of
    the firm, or of somebody who works there, and for one that has them already."""
    _refuse_own(email)
    witness = JournalWitness(**idempotency_key.columns, name=name, email=email, standing=standing)
    try:
        with transaction.atomic():
            return store_new(witness, actor=actor, entry_type=JournalType.WITNESS_ADDED)
    except IntegrityError:
        if not JournalWitness.objects.not_ended().filter(email__iexact=email).exists():
            raise
        text = _("{address} is a witness already")
        raise InvalidField(POINTER, text.format(address=email)) from None


def _refuse_own(email: str) -> None:
    """What stays within the firm can be changed with the journal."""
    of_firm = {settings.FIRM_EMAIL.casefold(), settings.DEFAULT_FROM_EMAIL.casefold()}
    if email.casefold() in of_firm:
        raise InvalidField(POINTER, _("this is the firm's own address; a witness is outside it"))
    if Person.objects.filter(is_active=True, email__iexact=email).exists():
        raise InvalidField(
            POINTER, _("somebody who works here has this address; a witness is outside the firm")
        )


@transaction.atomic
def end_witness(*, actor: Person, witness: JournalWitness, expected_version: int) -> JournalWitness:
    """No letter goes there any more. Raises `Conflict` where that was so already."""
    if witness.ended_at:
        raise Conflict(_("this witness was ended already"), named(witness))
    return store_change(
        witness,
        {"ended_at": timezone.now()},
        expected_version=expected_version,
        actor=actor,
        entry_type=JournalType.WITNESS_ENDED,
    )
