"""Reporting defects, putting them right, inspecting them again."""

from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from installs.defect_places import ALLOWED, read_place
from installs.models import Defect, Inspection, Installation, PlanStep
from installs.services.recording import lock_installation, require_in_plan, require_on_member
from jobs.errors import Conflict, InvalidField, named
from jobs.idempotency import IdempotencyKey
from jobs.journal_types import JournalType
from jobs.models import Person
from jobs.services.records import store_change, store_new
from jobs.translation import translated


@transaction.atomic
def record_defect(
    *,
    actor: Person,
    idempotency_key: IdempotencyKey,
    installation: Installation,
    severity: str,
    description: str,
    step: PlanStep | None = None,
    place: str | None = None,
    responsible: str = Defect.Responsible.CREW,
    inspection: Inspection | None = None,
) -> Defect:
    """Record something that is not as it must be; `inspection` is that whose failure opens it.

    `place` is a code of `installs.defect_places`. Raises `InvalidField` for a step of another
    installation, one that a new plan replaced, and a place that the doorset does not have.
    """
    locked = lock_installation(installation.pk)
    if place:
        _require_place(locked, place)
    if step:
        require_in_plan(step)
        if step.installation_id != installation.pk:
            raise InvalidField("/step", _("it is a step of another installation"))
    defect = Defect(
        **idempotency_key.columns,
        installation=installation,
        step=step,
        place=place,
        inspection=inspection,
        severity=severity,
        description=description,
        responsible=responsible,
        found_by=actor,
    )
    return store_new(defect, actor=actor, entry_type=JournalType.DEFECT_FOUND)


def _require_place(installation: Installation, code: str) -> None:
    place = read_place(code)
    if place is None:
        raise InvalidField("/place", _("no place of a doorset; give {known}").format(known=ALLOWED))
    if place.is_on_member:
        if place.number is not None:
            require_on_member(installation, place.part, place.number, "/place")
        return
    plan = installation.plan
    known = plan.leaves if place.part == "sash" else plan.junctions
    numbers = [part.number for part in known]
    if place.number not in numbers:
        raise InvalidField(
            "/place",
            _("the doorset has no {place}; give {first} to {last}").format(
                place=translated(place.label), first=numbers[0], last=numbers[-1]
            ),
        )


@transaction.atomic
def put_right(*, actor: Person, defect: Defect, expected_version: int, how: str) -> Defect:
    """Record how a defect was put right; it stays open until it was looked at again."""
    lock_installation(defect.installation_id)
    if defect.closed_at:
        raise Conflict(_("the defect is closed"), named(defect))
    if defect.put_right_at:
        raise Conflict(_("it was put right and waits to be inspected again"), named(defect))
    changes = {"put_right_by": actor, "put_right_at": timezone.now(), "put_right_how": how}
    return store_change(
        defect,
        changes,
        expected_version=expected_version,
        actor=actor,
        entry_type=JournalType.DEFECT_PUT_RIGHT,
    )


@transaction.atomic
def reinspect(
    *, actor: Person, defect: Defect, expected_version: int, accepted: bool, note: str = ""
) -> Defect:
    """Look at a defect again and close it, or send it back to be put right.

    Raises `Conflict` before it was put right, and for a critical defect when the same person put
    it right; `InvalidField` when it is sent back without saying why.
    """
    lock_installation(defect.installation_id)
    _check_reinspection(defect, actor)
    if not accepted and not note:
        raise InvalidField("/note", _("say what is still not in order"))
    now = timezone.now()
    changes = {"reinspected_by": actor, "reinspected_at": now, "reinspection_note": note}
    if accepted:
        changes["closed_at"] = now
    else:
        changes |= {"put_right_by": None, "put_right_at": None, "put_right_how": ""}
    return store_change(
        defect,
        changes,
        expected_version=expected_version,
        actor=actor,
        entry_type=JournalType.DEFECT_REINSPECTED,
    )


def _check_reinspection(defect: Defect, actor: Person) -> None:
    if defect.closed_at:
        raise Conflict(_("the defect is closed"), named(defect))
    if defect.put_right_at is None:
        raise Conflict(_("it has not been put right yet"), named(defect))
    critical = defect.severity == Defect.Severity.CRITICAL
    if critical and defect.put_right_by_id == actor.pk:
        raise Conflict(
            _("a critical defect is inspected again by somebody else than who put it right"),
            named(defect),
        )
