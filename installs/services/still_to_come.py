"""Minor defects that a doorset is handed over with: put right later, by a day that is named."""

from collections.abc import Iterable, Mapping, Sequence
from datetime import date, timedelta

from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from installs.models import Defect, Installation
from installs.services.recording import lock_installation
from installs.state import InstallationState
from jobs.errors import Conflict, InvalidField, named
from jobs.figures import day as write_day
from jobs.journal_types import JournalType
from jobs.models import Person
from jobs.services.records import store_change

ToCome = Mapping[str, str]
"""`{"defect": id, "until": "2027-01-31"}`, as whoever signs has seen it."""


@transaction.atomic
def leave_to_come(
    *, actor: Person, defect: Defect, expected_version: int, until: date, promise: str
) -> Defect:
    """Leave a minor defect to come; the customer is asked for it when they sign.

    Raises `Conflict` for one that is graver, is closed, or was found or left when its doorset was
    handed over already; `InvalidField` for a day that is over or too far off.
    """
    installation = lock_installation(defect.installation_id)
    _check_may_be_left(defect, installation)
    _check_day(until, installation)
    return store_change(
        defect,
        {"to_come_by": until, "to_come_promise": promise},
        expected_version=expected_version,
        actor=actor,
        entry_type=JournalType.DEFECT_LEFT_TO_COME,
    )


def left_to_come(installations: Iterable[Installation]) -> list[Defect]:
    """Open defects of these that are left to come, in the order of openings."""
    left = Defect.objects.open().filter(installation__in=installations, to_come_by__isnull=False)
    joined = left.select_related("installation__doorset__opening")
    return list(joined.order_by("installation__doorset__opening__number", "created_at", "id"))


def named_above_the_signature(
    shown: Sequence[ToCome], installations: Iterable[Installation]
) -> list[dict[str, str | int]]:
    """What the handover keeps of `shown`. Raises `InvalidField` where that is not what is left to
    come: the customer would sign for something else."""
    left = left_to_come(installations)
    signed = {(entry["defect"], entry["until"]) for entry in shown}
    if signed != {(str(defect.pk), until_of(defect)) for defect in left}:
        words = "; ".join(_in_words(defect) for defect in left) or _("nothing")
        text = _(
            "the list of what is still to come has changed; show it before it is signed: {left}"
        )
        raise InvalidField("/to_come", text.format(left=words))
    return [
        {
            "defect": str(defect.pk),
            "opening": defect.installation.doorset.opening.number,
            "what": defect.description,
            "promise": defect.to_come_promise,
            "until": until_of(defect),
        }
        for defect in left
    ]


def until_of(defect: Defect) -> str:
    """The day that it is to come by, in ISO 8601; nothing where it is not left to come."""
    return defect.to_come_by.isoformat() if defect.to_come_by else ""


def _in_words(defect: Defect) -> str:
    return _("{defect}, by {day}").format(
        defect=defect.description, day=write_day(defect.to_come_by)
    )


def _check_may_be_left(defect: Defect, installation: Installation) -> None:
    if defect.closed_at:
        raise Conflict(_("the defect is closed"), named(defect))
    if not defect.is_minor:
        raise Conflict(
            _("only a minor defect is left to come; this one is put right before the handover"),
            named(defect),
        )
    if InstallationState(installation).is_handed_over:
        raise Conflict(
            _(
                "its doorset is handed over, and what was signed does not name it: put it right, "
                "or have the office accept it as it is"
            ),
            named(defect),
        )


def _check_day(until: date, installation: Installation) -> None:
    today, rules = timezone.localdate(), installation.rule_set.rules
    last = today + timedelta(days=rules["defect.to_come_within"])
    if not today <= until <= last:
        raise InvalidField(
            "/until",
            _("give a day from {first} to {last}{note}").format(
                first=write_day(today),
                last=write_day(last),
                note=rules.note("defect.to_come_within"),
            ),
        )
