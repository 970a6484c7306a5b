"""Packers and fixings for the wall that comes to light when the old door is out."""

from dataclasses import replace

from installs.models import Installation
from installs.services.planning import deciding_fit, frozen_plan
from jobs.journal_types import JournalType
from jobs.models import Person
from jobs.sentences import sentence
from jobs.services.records import store_change

BECAUSE = sentence("the opening was measured again with the old door out")


def plan_for_open_wall(*, actor: Person, installation: Installation) -> Installation:
    """Plan packers, fixings and joints anew from the newest survey that decides; the steps stay,
    and what they say of the lift. Nothing changes where that is the one they were planned from, or
    where something is fixed already.
    """
    decision = deciding_fit(installation.doorset)
    planned_from = installation.plan.fit_decision
    if decision is None or str(decision.pk) == planned_from or installation.fixings.exists():
        return installation
    plan = frozen_plan(installation.doorset, installation.visit, installation.rule_set.rules)
    return store_change(
        installation,
        {"plan": replace(plan, lifts=installation.plan.lifts), "replanned_because": str(BECAUSE)},
        expected_version=installation.version,
        actor=actor,
        entry_type=JournalType.INSTALLATION_REPLANNED,
    )
