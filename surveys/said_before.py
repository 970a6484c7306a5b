"""What earlier surveys of an opening said of its building and site, which stays as it is."""

from collections.abc import Mapping
from typing import Any

from jobs.models import Opening

# Asked of every survey, and told by the first that knows it.
STAYS = ("built", "safety_led_by")


# What must be said anew, since it is seen anew: before the old door comes out, and once it is out.
ASKED_AGAIN = {
    "before_removal": ("asbestos_suspected",),
    "after_removal": (
        "asbestos_suspected",
        "lintel_seen",
        "damp_proof_course",
        "measured_to",
        "allowances",
    ),
}
# That a suspicion was cleared stays with the survey that says so; a note is of its day.
OF_ITS_DAY = ("asbestos_cleared", "asbestos_papers", "notes")


def carried_over(stage: str, earlier: Mapping[str, Any]) -> dict[str, Any]:
    """Conditions of an earlier survey that cannot have changed by this stage; none by a first
    survey, which looks for itself."""
    if stage not in ASKED_AGAIN:
        return {}
    again = (*ASKED_AGAIN[stage], *OF_ITS_DAY)
    return {name: value for name, value in earlier.items() if name not in again}


def said_before(opening: Opening, name: str) -> str:
    """A condition by the newest survey that has it; empty where none does."""
    said = opening.surveys.filter(conditions__has_key=name)
    newest = said.order_by("-taken_at", "-created_at").first()
    return str(newest.conditions[name]) if newest else ""


def facts_that_stay(opening: Opening) -> dict[str, str]:
    """Those that are known, by their names."""
    facts = {name: said_before(opening, name) for name in STAYS}
    return {name: value for name, value in facts.items() if value}
