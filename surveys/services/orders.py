"""Ordering a doorset: the point of no return for its size."""

from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from jobs.errors import Conflict, GateClosed, named
from jobs.journal_types import JournalType
from jobs.models import Doorset, Opening, Person
from jobs.services.records import store_change
from surveys.gates import order_gate_of


@transaction.atomic
def order_doorset(*, actor: Person, doorset: Doorset, expected_version: int) -> Doorset:
    """Order a draft. Raises `GateClosed` with all that stands in the way of its opening's order."""
    Opening.objects.select_for_update(no_key=True).get(pk=doorset.opening_id)
    doorset.refresh_from_db()
    if doorset.ordered_at or doorset.superseded_at:
        raise Conflict(
            _("this doorset was ordered already; a change is a revision"), named(doorset)
        )
    if blockers := order_gate_of(doorset.opening):
        raise GateClosed("order", blockers)
    return store_change(
        doorset,
        {"ordered_at": timezone.now()},
        expected_version=expected_version,
        actor=actor,
        entry_type=JournalType.DOORSET_ORDERED,
    )
