"""The steps of one phase on one sheet, in the order in which they are worked through."""

from dataclasses import dataclass
from uuid import UUID

from django.http import Http404, HttpRequest, HttpResponse
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from installs.labels import PHASES, StepEntry, steps_of
from installs.level_packers import LevelledMember, packers_to_level
from installs.models import Installation, PlanStep
from installs.state import InstallationState
from installs.views.fittings import address_of, fitting_of, show
from installs.views.step_forms import StepRow
from installs.views.step_views import in_the_way, step_message
from jobs.capabilities import Capability
from jobs.errors import Blocker
from jobs.views.access import capability_required


@dataclass(frozen=True, slots=True)
class Row:
    """`form` is None for a step that has passed: it is recorded again on its own page."""

    entry: StepEntry
    form: StepRow | None
    packers: list[LevelledMember]


@capability_required(Capability.RECORD_FITTING)
@require_http_methods(["GET", "POST"])
def phase_sheet(request: HttpRequest, pk: UUID, phase: str) -> HttpResponse:
    if phase not in PHASES or phase == PlanStep.Phase.HANDOVER:
        raise Http404
    fitting = fitting_of(request, pk)
    state = InstallationState(fitting)
    entries = list(steps_of(state))
    rows = [_row(request, fitting, entry) for entry in entries if entry.step.phase == phase]
    forms = [row.form for row in rows if row.form]
    for form in forms:
        if stored := form.apply():
            return form.kept(step_message(form.step, stored), f"{request.path}#{form.step.number}")
    more = {
        "name": PHASES[PlanStep.Phase(phase)],
        "phase": phase,
        "rows": rows,
        "in_the_way": _before(fitting, rows),
        "following": _following(entries, phase),
    }
    return show(request, "phase_sheet.html", fitting, forms, **more)


def _row(request: HttpRequest, fitting: Installation, entry: StepEntry) -> Row:
    entry.step.installation = fitting
    form = None if entry.state == "done" else StepRow(request, entry.step)
    return Row(entry, form, packers_to_level(entry.step) if form else [])


def _before(fitting: Installation, rows: list[Row]) -> list[Blocker]:
    """What the first step that is left waits for."""
    left = next((row.entry.step for row in rows if row.form), None)
    return in_the_way(fitting, left) if left else []


def _following(entries: list[StepEntry], phase: str) -> dict[str, str] | None:
    """Name and address of the phase after this one."""
    phases = list(dict.fromkeys(entry.step.phase for entry in entries))
    after = phases[phases.index(phase) + 1] if phase in phases[:-1] else None
    if after is None:
        return None
    fitting = entries[0].step.installation
    address = (
        reverse("handover", args=[fitting.job.reference])
        if after == PlanStep.Phase.HANDOVER
        else address_of(fitting, "fitting-phase", after)
    )
    return {"name": _("Next: {phase}").format(phase=PHASES[PlanStep.Phase(after)]), "to": address}
