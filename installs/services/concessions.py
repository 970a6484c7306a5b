"""Accepting something as it is."""

from django.db import transaction
from django.utils.translation import gettext as _

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
    defect: Defect | None = None,
) -> Concession:
    """Accept what a gate's blocker of this code is about, as it is now and no later finding.

    A concession of a step goes for the defect that its failure opened, too. Raises `InvalidField`
    for a code that the rule set does not allow and a defect of another installation, `Conflict`
    when nothing of the kind is in the way or it can never be conceded.
    """
    installation = lock_installation(installation.pk)
    rules = installation.rule_set.rules
    step = installation.steps.filter(code=code).first()
    if not may_be_conceded(code, rules, step):
        allowed = ", ".join(rules["concession.allowed"]) + rules.note("concession.allowed")
        raise InvalidField(
            "/code", _("it cannot be conceded; these can: {allowed}").format(allowed=allowed)
        )
    if defect and defect.installation_id != installation.pk:
        raise InvalidField("/defect", _("it is a defect of another installation"))
    by_itself = code == BlockerCode.MINOR_DEFECT
    if by_itself and defect is None:
        raise InvalidField("/defect", _("name the defect that is accepted as it is"))
    if defect and not by_itself:
        raise InvalidField("/defect", _("only minor_defect is about a defect of its own"))
    _check_in_the_way(installation, code, defect)
    concession = Concession(
        **idempotency_key.columns,
        installation=installation,
        code=code,
        step=step,
        defect=_defect_of(step) if step else defect,
        reason=reason,
        accepted_by=actor,
    )
    return store_new(concession, actor=actor, entry_type=JournalType.CONCESSION_GRANTED)


def _check_in_the_way(installation: Installation, code: str, defect: Defect | None) -> None:
    blockers = [
        blocker
        for gate in gates_of(installation).values()
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


def _is_about(blocker: Blocker, defect: Defect | None) -> bool:
    return defect is None or blocker.record["id"] == str(defect.pk)


def _defect_of(step: PlanStep) -> Defect | None:
    """The defect that the step's failure opened. A critical one is never conceded."""
    return step.defects.open().exclude(severity=Defect.Severity.CRITICAL).first()
