"""The steps of a fitting plan put into words: what decides each, and what is read. Pure."""

from itertools import groupby
from typing import Any

from jobs.code_labels import code_label
from reports.templatetags.paper import limits

PHASES = {
    "prepare": "Prepare",
    "removal": "Take the old door out",
    "setting": "Set the frame",
    "fixing": "Fix the frame",
    "glazing": "Leaves and glass",
    "finishing": "Finish",
    "handover": "Hand over",
}
EVIDENCE = {
    "reading": "readings",
    "count": "count",
    "checks": "checks",
    "acknowledgement": "confirmation",
    "photo": "photo",
}
# How the number that is judged comes from what is read at several places.
METHODS = {
    "direct": "each",
    "difference": "the first less the second",
    "spread": "the greatest less the least",
    "count": "counted",
}


def steps_in_words(steps: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """The steps by phase, in working order."""
    return [
        {"phase": PHASES[phase], "steps": [step | _in_words(step) for step in of_phase]}
        for phase, of_phase in groupby(steps, key=lambda step: step["phase"])
    ]


def _in_words(step: dict[str, Any]) -> dict[str, Any]:
    return {
        "evidence_in_words": ", ".join(EVIDENCE[name] for name in step["evidence"]),
        "judged": criteria_in_words(step["criteria"]),
    }


def criteria_in_words(criteria: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """Criteria with the same limits as one: the limit, how it is found, and the places to read."""
    told: dict[tuple[str, str], dict[str, Any]] = {}
    for criterion in criteria:
        limit, how = limits(criterion), METHODS[criterion["method"]]
        # Numbers worked out from several places stand alone; single readings share their limit.
        of_one = criterion["method"] in ("direct", "count")
        group = told.setdefault(
            (limit, how if of_one else criterion["name"]),
            {"limit": limit, "how": how, "source": criterion["source"], "places": []},
        )
        group["places"] += [code_label(place) for place in criterion["of"]]
    return list(told.values())
