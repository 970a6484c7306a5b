"""Making a plan anew before work has begun under it."""

from django.db import transaction
from django.db.models import Q
from django.utils.translation import gettext as _

from installs.models import Installation, PlanStep
from installs.plan import StepDraft, draft_steps
from installs.services.planning import fitting_facts, frozen_plan, numbered_steps
from installs.services.recording import lock_installation
from jobs.arithmetic.errors import UnusableInput
from jobs.errors import Conflict, InvalidField, named
from jobs.journal_types import JournalType
from jobs.models import Person
from jobs.services.records import store_change
from jobs.translation import translated

# What is recorded in these phases holds whatever the plan says of those after them.
BEFORE_SETTING = (PlanStep.Phase.PREPARE, PlanStep.Phase.REMOVAL)


@transaction.atomic
def replan_installation(
    *, actor: Person, installation: Installation, expected_version: int, reason: str
) -> Installation:
    """Make the plan anew from the newest readings, the crew of the visit and the doorset's facts.

    Steps keep what was recorded before setting; `reason` says why and stays with the plan. Raises
    `Conflict` once anything after removal was recorded: what is fixed was fixed by the old plan.
    """
    locked = lock_installation(installation.pk)
    _check_not_begun(locked)
    doorset, rules = locked.doorset, locked.rule_set.rules
    try:
        plan = frozen_plan(doorset, locked.visit, rules)
    except UnusableInput as error:
        raise InvalidField(
            "/reason",
            _("no plan can be made now: {reason}").format(reason=translated(error.detail)),
        ) from error
    drafts = draft_steps(fitting_facts(doorset, locked.visit, rules), rules)
    _replace_steps(locked, drafts)
    return store_change(
        locked,
        {"plan": plan, "replanned_because": reason},
        expected_version=expected_version,
        actor=actor,
        entry_type=JournalType.INSTALLATION_REPLANNED,
        also_changed=("steps",),
    )


def _check_not_begun(installation: Installation) -> None:
    planned = installation.steps.exclude(phase__in=BEFORE_SETTING)
    begun = planned.filter(
        Q(inspections__isnull=False) | Q(photos__isnull=False) | Q(defects__isnull=False)
    )
    if begun.exists() or installation.fixings.exists() or installation.beads.exists():
        raise Conflict(
            _("work has begun under this plan; what deviates from it is a defect or a concession"),
            named(installation),
        )


def _replace_steps(installation: Installation, drafts: list[StepDraft]) -> None:
    """Steps before setting are the same for every doorset and stay; all others are made anew."""
    staying = installation.steps.filter(phase__in=BEFORE_SETTING)
    installation.steps.exclude(pk__in=staying).delete()
    codes = set(staying.values_list("code", flat=True))
    steps = numbered_steps(installation, drafts)
    PlanStep.objects.bulk_create(step for step in steps if step.code not in codes)
