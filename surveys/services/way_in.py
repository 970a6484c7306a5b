"""From what surveys recorded of the way in, and a rule set, to what it is judged by."""

from collections.abc import Collection, Mapping
from typing import Any
from uuid import UUID

from jobs.models import Doorset, Opening
from jobs.rules import Rules
from surveys.arithmetic.way_in import Corner, WayIn, WayRules
from surveys.models import Survey


def read_way_in(recorded: Mapping[str, Any]) -> WayIn:
    """From the `way_in` of a survey's conditions, as it was recorded."""
    corners = tuple(Corner(**corner) for corner in recorded.get("corners", ()))
    return WayIn(**{**recorded, "corners": corners})


def survey_of_way_in(opening: Opening) -> Survey | None:
    """The newest survey of an opening that measured the way in; None where none did."""
    surveys = opening.surveys.filter(conditions__has_key="way_in")
    return surveys.order_by("-taken_at", "-created_at").first()


def newest_ways_in(openings: Collection[UUID]) -> dict[UUID, WayIn]:
    """By opening, of those whose way in was measured; one query for all."""
    surveys = Survey.objects.filter(opening__in=openings, conditions__has_key="way_in")
    # The newest comes last, and stays.
    return {
        survey.opening_id: read_way_in(survey.conditions["way_in"])
        for survey in surveys.order_by("taken_at", "created_at")
    }


def way_rules(rules: Rules) -> WayRules:
    return WayRules(
        hand_room=rules["access.hand_room"],
        greatest_lean=rules["access.greatest_lean"],
        sources=(
            rules.source("access.hand_room"),
            rules.source("access.greatest_lean"),
        ),
    )


def frame_depth(doorset: Doorset, rules: Rules) -> float:
    """Depth of a frame, mm: its system's, or what the rule set takes where that says none."""
    depth = doorset.profile_system.frame_depth
    return float(rules["access.depth_not_known"] if depth is None else depth)
