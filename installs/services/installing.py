"""Starting the fitting of a doorset: its plan is generated and frozen."""

from django.db import transaction
from django.utils.translation import gettext as _

from installs.models import Installation, PlanStep
from installs.plan import draft_steps
from installs.services.planning import fitting_facts, frozen_plan, numbered_steps
from jobs.arithmetic.errors import UnusableInput
from jobs.errors import Conflict, GateClosed, InvalidField, named
from jobs.idempotency import IdempotencyKey
from jobs.journal_types import JournalType
from jobs.models import Doorset, Person, Visit
from jobs.services.journal import append_new, date_new
from surveys.gates import removal_gate_of
from surveys.services.fit_decisions import decide_before_removal


@transaction.atomic
def plan_installation(
    *, actor: Person, idempotency_key: IdempotencyKey, doorset: Doorset, visit: Visit
) -> Installation:
    """Plan the fitting of an ordered doorset under its job's rule set, and freeze the plan.

    Raises `InvalidField` for a doorset that was not ordered or was superseded, one that cannot be
    fixed as ordered, and a visit that is not a fitting or return visit to its job; `Conflict` when
    the doorset has its plan already.
    """
    doorset = Doorset.objects.select_for_update(no_key=True).get(pk=doorset.pk)
    _check_doorset(doorset)
    _check_visit(visit, doorset)
    decided = IdempotencyKey(idempotency_key.derived("decision").id)
    decide_before_removal(actor=actor, idempotency_key=decided, doorset=doorset)
    if blockers := removal_gate_of(doorset.opening):
        raise GateClosed("removal", blockers)
    rule_set = doorset.job.rule_set
    try:
        plan = frozen_plan(doorset, visit, rule_set.rules)
    except UnusableInput as error:
        raise InvalidField("/doorset", error.detail) from error
    installation = Installation(
        id=idempotency_key.id,
        creation_digest=idempotency_key.digest,
        doorset=doorset,
        visit=visit,
        rule_set=rule_set,
        plan=plan,
    )
    date_new(installation)
    installation.save(force_insert=True)
    drafts = draft_steps(fitting_facts(doorset, visit, rule_set.rules), rule_set.rules)
    PlanStep.objects.bulk_create(numbered_steps(installation, drafts))
    append_new(installation, actor=actor, entry_type=JournalType.INSTALLATION_PLANNED)
    return installation


def _check_doorset(doorset: Doorset) -> None:
    if doorset.superseded_at:
        raise InvalidField("/doorset", _("a later revision supersedes it; name that one"))
    if doorset.ordered_at is None:
        raise InvalidField("/doorset", _("it has not been ordered"))
    if existing := Installation.objects.filter(doorset=doorset).first():
        raise Conflict(_("the fitting of this doorset is planned already"), named(existing))


def _check_visit(visit: Visit, doorset: Doorset) -> None:
    if visit.job_id != doorset.job.pk:
        raise InvalidField(
            "/visit", _("it is no visit to job {reference}").format(reference=doorset.job.reference)
        )
    if visit.kind not in (Visit.Kind.FITTING, Visit.Kind.RETURN) or visit.cancelled_at:
        raise InvalidField("/visit", _("name a fitting or return visit that was not cancelled"))
