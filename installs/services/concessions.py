"""Accepting something as it is."""

from django.conf import settings
from django.db import transaction
from django.utils.translation import gettext as _
from django.utils.translation import override

from installs.conditions import may_be_conceded
from installs.gates import gates_of
from installs.models import Concession, Defect, Installation, PlanStep
from installs.services.recording import lock_installation
from jobs.blockers import BlockerCode
from jobs.errors import Blocker, Conflict, InvalidField, named
from jobs.idempotency import IdempotencyKey
from jobs.journal_types import JournalType
from jobs.models import Person
from jobs.services.records import store_new


@transaction.atomic
def concede(
    *,
    actor: Person,
    idempotency_key: IdempotencyKey,
    installation: Installation,
    code: str,
    reason: str,
    place: str | None = None,
    defect: Defect | None = None,
) -> Concession:
    """Accept one thing as it is now: what a gate's blocker of this code says of one place.

    Nothing found later, and nothing at another place, goes with it; `place` may be left out where
    the code is in the way at one place only. With the last place that a step fell short at goes
    the defect that its failure opened. Raises `InvalidField` for a code that the rule set does not
    allow, a place where nothing of it is, and a defect of another installation; `Conflict` when
    nothing of the kind is in the way or it can never be conceded.
    """
    installation = lock_installation(installation.pk)
    rules = installation.rule_set.rules
    step = installation.steps.filter(code=code).first()
    if not may_be_conceded(code, rules, step):
        allowed = ", ".join(rules["concession.allowed"]) + rules.note("concession.allowed")
        raise InvalidField(
            "/code", _("it cannot be conceded; these can: {allowed}").format(allowed=allowed)
        )
    _check_defect(installation, code, defect)
    in_the_way = _in_the_way(installation, code, defect)
    places = set(in_the_way)
    accepted = _one_of(places, place)
    blocker = in_the_way[accepted]
    concession = Concession(
        **idempotency_key.columns,
        installation=installation,
        code=code,
        place=accepted,
        step=step,
        defect=_defect_of(step) if step and places == {accepted} else defect,
        asked=blocker.what[:500],
        found=blocker.why[:1000],
        reason=reason,
        accepted_by=actor,
    )
    return store_new(concession, actor=actor, entry_type=JournalType.CONCESSION_GRANTED)


def _check_defect(installation: Installation, code: str, defect: Defect | None) -> None:
    if defect and defect.installation_id != installation.pk:
        raise InvalidField("/defect", _("it is a defect of another installation"))
    by_itself = code == BlockerCode.MINOR_DEFECT
    if by_itself and defect is None:
        raise InvalidField("/defect", _("name the defect that is accepted as it is"))
    if defect and not by_itself:
        raise InvalidField("/defect", _("only minor_defect is about a defect of its own"))


def _in_the_way(installation: Installation, code: str, defect: Defect | None) -> dict[str, Blocker]:
    """What the code says is in the way and can be accepted, by its place; in the language that
    records are kept in."""
    with override(settings.LANGUAGE_CODE):
        gates = gates_of(installation).values()
    blockers = [
        blocker
        for gate in gates
        for blocker in gate
        if blocker.code == code and _is_about(blocker, defect)
    ]
    if not blockers:
        raise Conflict(_("nothing of this kind is in the way"), named(defect or installation))
    if not any(blocker.concedable for blocker in blockers):
        raise Conflict(
            _("there is nothing to accept yet: {reason}").format(reason=blockers[0].why),
            blockers[0].record,
        )
    return {blocker.place: blocker for blocker in blockers if blocker.concedable}


def _one_of(places: set[str], place: str | None) -> str:
    if place in places:
        return place
    if place is None and len(places) == 1:
        return next(iter(places))
    named_places = ", ".join(sorted(places - {""})) or _("none")
    text = _("name the one place that is accepted as it is: {places}")
    raise InvalidField("/place", text.format(places=named_places))


def _is_about(blocker: Blocker, defect: Defect | None) -> bool:
    return defect is None or blocker.record["id"] == str(defect.pk)


def _defect_of(step: PlanStep) -> Defect | None:
    """The defect that a failure of the step opened; one that somebody reported there is put right,
    and a critical one is never conceded."""
    of_failures = step.defects.open().filter(inspection__isnull=False, concession=None)
    return of_failures.exclude(severity=Defect.Severity.CRITICAL).first()
