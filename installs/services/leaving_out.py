"""Openings that no longer take a doorset of their job, so that nothing waits for them for ever."""

from django.db import transaction
from django.db.models import Q
from django.utils import timezone
from django.utils.translation import gettext as _

from installs.models import Installation
from installs.services.handing_over import keys_handed_over
from jobs.errors import Conflict, InvalidField, named
from jobs.journal_types import JournalType
from jobs.models import Job, Opening, Person
from jobs.services.records import store_change

RECORDED = (
    "steps__inspections",
    "fixings",
    "gaps",
    "beads",
    "sashes",
    "lifts",
    "packer_changes",
    "photos",
    "defects",
)


@transaction.atomic
def leave_out(*, actor: Person, opening: Opening, expected_version: int, reason: str) -> Opening:
    """Leave an opening out of its job; its records stay, and no gate waits for it any more.

    Raises `InvalidField` without a reason, `Conflict` for one that is left out already and once
    something of its fitting is on record: what was begun is finished or put right.
    """
    opening = _locked(opening)
    if not reason.strip():
        raise InvalidField("/reason", _("say why the opening is left out"))
    if opening.left_out_at:
        raise Conflict(_("the opening is left out already"), named(opening))
    if begun := _begun(opening):
        raise Conflict(
            _("something of its fitting is on record; it is finished and handed over"), named(begun)
        )
    return store_change(
        opening,
        {"left_out_at": timezone.now(), "left_out_because": reason},
        expected_version=expected_version,
        actor=actor,
        entry_type=JournalType.OPENING_LEFT_OUT,
    )


@transaction.atomic
def take_up_again(*, actor: Person, opening: Opening, expected_version: int) -> Opening:
    """The opposite. Raises `Conflict` for one that is not left out."""
    opening = _locked(opening)
    if opening.left_out_at is None:
        raise Conflict(_("the opening is not left out"), named(opening))
    return store_change(
        opening,
        {"left_out_at": None, "left_out_because": ""},
        expected_version=expected_version,
        actor=actor,
        entry_type=JournalType.OPENING_TAKEN_UP,
    )


def _locked(opening: Opening) -> Opening:
    """Under the locks of a handover, of an order and of what is recorded at the fitting."""
    Job.objects.select_for_update(no_key=True).get(pk=opening.job_id)
    fittings = Installation.objects.filter(doorset__opening=opening)
    list(fittings.select_for_update(of=("self",), no_key=True).order_by("pk"))
    return Opening.objects.select_for_update(of=("self",), no_key=True).get(pk=opening.pk)


def _begun(opening: Opening) -> Installation | None:
    recorded = Q()
    for records in RECORDED:
        recorded |= Q(**{f"{records}__isnull": False})
    fittings = Installation.objects.filter(doorset__opening=opening)
    return fittings.filter(recorded | Q(pk__in=keys_handed_over(opening.job))).first()
