"""Reporting defects, putting them right, inspecting them again, closing them on evidence.

What is more than minor takes two: whoever put it right does not say that it is. Somebody else who
was on site does, or the office by what shows it, so that a crew of one has a way.
"""

from datetime import datetime

from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from installs.defect_places import ALLOWED, read_place
from installs.models import Defect, Handover, Inspection, Installation, PlanStep, SitePhoto
from installs.services.recording import lock_installation, require_in_plan, require_on_member
from jobs.capabilities import Capability
from jobs.code_labels import code_label
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
        found_after=_handed_over_before(installation, idempotency_key),
    )
    return store_new(defect, actor=actor, entry_type=JournalType.DEFECT_FOUND)


def _require_place(installation: Installation, code: str) -> None:
    place = read_place(code)
    if place is None:
        raise InvalidField(
            "/place", _("no place of a doorset; give {known}").format(known=translated(ALLOWED))
        )
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

    Raises `Conflict` before it was put right, and where what is more than minor would be closed by
    whoever put it right or by somebody who goes to no site; `InvalidField` when it is sent back
    without saying why.
    """
    lock_installation(defect.installation_id)
    _check_reinspection(defect)
    if accepted and not defect.is_minor:
        _check_second_person(defect, actor)
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


@transaction.atomic
def close_on_evidence(
    *,
    actor: Person,
    defect: Defect,
    expected_version: int,
    note: str,
    photo_after: SitePhoto,
    photo_before: SitePhoto | None = None,
) -> Defect:
    """Close a defect by what shows that it is put right: its photos before and after, and for what
    a step decides a record of the step that passed since. `note`: what they show.

    A failed reading shows what was before as a photo does. Raises `Conflict` before it was put
    right, for whoever put it right, and while its step has not passed again; `InvalidField` for
    photos that are missing, of something else, the same picture, or the wrong way round.
    """
    lock_installation(defect.installation_id)
    _check_reinspection(defect)
    _check_not_own_work(defect, actor)
    _check_photos(defect, photo_before, photo_after)
    changes = {
        "reinspected_by": actor,
        "reinspected_at": timezone.now(),
        "reinspection_note": note,
        "photo_before": photo_before,
        "photo_after": photo_after,
        "read_since": _passed_since(defect),
        "closed_at": timezone.now(),
    }
    return store_change(
        defect,
        changes,
        expected_version=expected_version,
        actor=actor,
        entry_type=JournalType.DEFECT_CLOSED_ON_EVIDENCE,
    )


def was_read(defect: Defect) -> bool:
    """Whether readings show how it was before: those whose failure opened it."""
    return defect.inspection is not None and defect.inspection.readings.exists()


def _handed_over_before(installation: Installation, key: IdempotencyKey) -> Handover | None:
    """The handover of the doorset, where it was made before the defect was found."""
    found_at = key.recorded_at or timezone.now()
    for handover in installation.job.handovers.order_by("created_at", "id"):
        made_at = handover.recorded_at or handover.created_at
        if str(installation.pk) in handover.keys and made_at <= found_at:
            return handover
    return None


def _check_reinspection(defect: Defect) -> None:
    if defect.closed_at:
        raise Conflict(_("the defect is closed"), named(defect))
    if defect.put_right_at is None:
        raise Conflict(_("it has not been put right yet"), named(defect))


def _check_second_person(defect: Defect, actor: Person) -> None:
    _check_not_own_work(defect, actor)
    if not actor.has_capability(Capability.ATTEND_VISITS):
        raise Conflict(
            _(
                "a {severity} defect is looked at on site by somebody of a crew; the office closes "
                "it on evidence: photos before and after, readings since"
            ).format(severity=code_label(defect.severity)),
            named(defect),
        )


def _check_not_own_work(defect: Defect, actor: Person) -> None:
    if not defect.is_minor and defect.put_right_by_id == actor.pk:
        raise Conflict(
            _(
                "a {severity} defect is closed by somebody else than who put it right: a second "
                "fitter on site, or the office by photos before and after; take both and tell it"
            ).format(severity=code_label(defect.severity)),
            named(defect),
        )


def _check_photos(defect: Defect, before: SitePhoto | None, after: SitePhoto) -> None:
    if before is None and not was_read(defect):
        raise InvalidField("/photo_before", _("name a photo that shows it before it was put right"))
    for name, photo in (("photo_before", before), ("photo_after", after)):
        if photo and photo.defect_id != defect.pk:
            raise InvalidField(f"/{name}", _("it is no photo of this defect"))
        if photo and photo.one_colour:
            raise InvalidField(f"/{name}", _("the picture is of one colour and shows nothing"))
    if before and before.sha256 == after.sha256:
        raise InvalidField("/photo_after", _("it is the same picture as before"))
    if before and _taken_at(after) < _taken_at(before):
        raise InvalidField("/photo_after", _("it is older than the photo before"))


def _taken_at(photo: SitePhoto) -> datetime:
    return photo.recorded_at or photo.created_at


def _passed_since(defect: Defect) -> Inspection | None:
    """The newest record of its step; raises `Conflict` where that did not pass after it was found.
    A defect that somebody reported at a step says nothing of what the step reads."""
    if defect.inspection is None or defect.step is None:
        return None
    newest = defect.step.inspections.order_by("created_at", "id").last()
    if newest and newest.pk != defect.inspection_id and newest.outcome == Inspection.Outcome.PASS:
        return newest
    raise Conflict(
        _("record step {number} again first: its newest record has not passed").format(
            number=defect.step.number
        ),
        named(defect),
    )
