"""The fitting sheet: the doorset as a map of its parts, below it the plan step by step."""

from typing import Any
from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_GET

from installs.drawings.map import map_svg
from installs.labels import PLANNED_FROM, phases_of
from installs.services.lifting import crew_short_of
from installs.services.planning import stage_planned_from
from installs.state import InstallationState
from installs.views.fittings import fitting_of, show
from installs.views.map_facts import map_of
from installs.views.next_acts import acts_to_do
from installs.views.step_views import in_the_way
from jobs.capabilities import Capability
from jobs.views.access import capability_required


@capability_required(Capability.RECORD_FITTING)
@require_GET
def sheet(request: HttpRequest, pk: UUID) -> HttpResponse:
    fitting = fitting_of(request, pk)
    state = InstallationState(fitting)
    phases = phases_of(state)
    steps = [entry for phase in phases for entry in phase.steps]
    following = next((entry for entry in steps if entry.is_next), None)
    more: dict[str, Any] = {
        "map": map_svg(map_of(state)),
        "has_supports": any(member.supports_without_fixing for member in state.members),
        "phases": phases,
        "next": following,
        "done": sum(entry.state == "done" for entry in steps),
        "count": len(steps),
        "in_the_way": in_the_way(fitting, following.step) if following else [],
        "open_defects": len(state.open_defects),
        "planned_from": PLANNED_FROM[stage_planned_from(fitting.plan)],
        "acts": acts_to_do(request, state),
        "crew_short": "" if _is_in(state) else crew_short_of(fitting),
        "cautions": fitting.plan.cautions,
    }
    return show(request, "sheet.html", fitting, **more)


def _is_in(state: InstallationState) -> bool:
    """Whether the frame has been lifted in."""
    return all(entry.passed for entry in state.steps if "lifted_with" in entry.step.asks)
