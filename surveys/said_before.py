"""What earlier surveys of an opening said of its building and site, which stays as it is."""

from jobs.models import Opening

# Asked of every survey, and told by the first that knows it.
STAYS = ("built", "safety_led_by")


def said_before(opening: Opening, name: str) -> str:
    """A condition by the newest survey that has it; empty where none does."""
    said = opening.surveys.filter(conditions__has_key=name)
    newest = said.order_by("-taken_at", "-created_at").first()
    return str(newest.conditions[name]) if newest else ""


def facts_that_stay(opening: Opening) -> dict[str, str]:
    """Those that are known, by their names."""
    facts = {name: said_before(opening, name) for name in STAYS}
    return {name: value for name, value in facts.items() if value}
