"""Labels of the steps of a fitting plan: what decides each, and what is read."""

from collections.abc import Iterable
from itertools import groupby
from typing import Any

from django.utils.translation import gettext, gettext_noop

from installs.instrument_labels import usable_label
from jobs.code_labels import code_label
from reports.papers.draft import labelled
from reports.papers.frozen.papers import NamedCriterion, StepFacts
from reports.templatetags.paper import limits_label

PHASES = {
    "prepare": gettext_noop("Prepare"),
    "removal": gettext_noop("Take the old door out"),
    "setting": gettext_noop("Set the frame"),
    "fixing": gettext_noop("Fix the frame"),
    "glazing": gettext_noop("Leaves and glass"),
    "finishing": gettext_noop("Finish"),
    "handover": gettext_noop("Hand over"),
}
EVIDENCE = {
    "reading": gettext_noop("readings"),
    "count": gettext_noop("count"),
    "checks": gettext_noop("checks"),
    "acknowledgement": gettext_noop("confirmation"),
    "photo": gettext_noop("photo"),
}
# How the number that is judged comes from what is read at several places.
METHODS = {
    "direct": gettext_noop("each"),
    "difference": gettext_noop("the first less the second"),
    "spread": gettext_noop("the greatest less the least"),
    "count": gettext_noop("counted"),
}


def phases(steps: Iterable[StepFacts]) -> list[dict[str, Any]]:
    """The steps by phase, in working order."""
    return [
        {
            "title": gettext(PHASES[phase]),
            "steps": [labelled(step, _labels(step)) for step in of_phase],
        }
        for phase, of_phase in groupby(steps, key=lambda step: step.phase)
    ]


def _labels(step: StepFacts) -> dict[str, Any]:
    return {
        "evidence_label": ", ".join(gettext(EVIDENCE[name]) for name in step.evidence),
        "judged": criteria_labels(step.criteria),
        "read_with": ", ".join(map(usable_label, step.usable_instruments or ())),
    }


def criteria_labels(criteria: Iterable[NamedCriterion]) -> list[dict[str, Any]]:
    """Criteria with the same limits as one: the limit, the method, and the places to read."""
    groups: dict[tuple[str, str], dict[str, Any]] = {}
    for criterion in criteria:
        limit = limits_label(criterion.lower, criterion.upper, criterion.unit)
        method = gettext(METHODS[criterion.method])
        # Numbers calculated from several places stand alone; single readings share their limit.
        of_one = criterion.method in ("direct", "count")
        group = groups.setdefault(
            (limit, method if of_one else criterion.name),
            {"limit": limit, "method": method, "source": criterion.source, "places": []},
        )
        group["places"] += [code_label(place) for place in criterion.of]
    return list(groups.values())
