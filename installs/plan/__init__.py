"""The fitting plan: from the facts of a doorset and a rule set to the steps of its fitting.

Order and content follow the fitter's sequence (common practice, no source); a step that does not
apply to the doorset is not in its plan.
"""

from installs.plan.draft import FittingFacts, StepDraft
from installs.plan.finishing import finishing, glazing, handing_over
from installs.plan.fixing import fixing
from installs.plan.setting import preparing, removing, setting
from jobs.rules import Rules

__all__ = ["FittingFacts", "StepDraft", "draft_steps"]


def draft_steps(facts: FittingFacts, rules: Rules) -> list[StepDraft]:
    """All steps that apply to this doorset, in working order."""
    return [
        *preparing(facts),
        *removing(),
        *setting(facts, rules),
        *fixing(facts, rules),
        *glazing(facts, rules),
        *finishing(facts, rules),
        *handing_over(),
    ]
