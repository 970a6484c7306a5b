"""Ordering a doorset: the point of no return for its size."""

from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from jobs.errors import Conflict, GateClosed, named
from jobs.journal_types import JournalType
from jobs.models import Doorset, Opening, Person
from jobs.services.doorsets import of_today
from jobs.services.records import store_change
from surveys.gates import order_gate_of


@transaction.atomic
def order_doorset(*, actor: Person, doorset: Doorset, expected_version: int) -> Doorset:
    """Order a draft, as its profile system works it out today.

    Raises `GateClosed` with all that stands in the way of its opening's order.
    """
    opening = Opening.objects.select_for_update(no_key=True).get(pk=doorset.opening_id)
    doorset.refresh_from_db()
    if opening.left_out_at:
        raise Conflict(_("its opening is left out of the job; take it up first"), named(opening))
    if doorset.ordered_at or doorset.superseded_at:
        raise Conflict(
            _("this doorset was ordered already; a change is a revision"), named(doorset)
        )
    if blockers := order_gate_of(doorset.opening):
        raise GateClosed("order", blockers)
    today = of_today(doorset)
    return store_change(
        doorset,
        {
            "ordered_at": timezone.now(),
            "upstand": today.upstand,
            "calculation": today.calculation,
        },
        expected_version=expected_version,
        actor=actor,
        entry_type=JournalType.DOORSET_ORDERED,
    )
