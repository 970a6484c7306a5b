"""One step of the plan: what it asks for, its records and its photos."""

from typing import Any
from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from installs.arithmetic.conformity import settling_uncertainty
from installs.arithmetic.sealing_conditions import dew_point
from installs.kit_words import screws_for
from installs.labels import steps_of
from installs.level_packers import packers_to_level
from installs.models import Inspection, Installation, PlanStep, Reading
from installs.services.recording import require_gate, require_hold_points
from installs.state import InstallationState
from installs.views.fittings import address_of, fitting_of, show
from installs.views.next_acts import acts_to_do, forms_of
from installs.views.photo_forms import PhotoForm
from installs.views.step_forms import StepForm
from jobs.capabilities import Capability
from jobs.code_labels import code_label
from jobs.errors import Blocker, GateClosed
from jobs.views.access import capability_required
from surveys.gates import open_wall_gate_for, survey_after_removal


@capability_required(Capability.RECORD_FITTING)
@require_http_methods(["GET", "POST"])
def step_page(request: HttpRequest, pk: UUID, number: int) -> HttpResponse:
    fitting = fitting_of(request, pk)
    step = get_object_or_404(fitting.steps, number=number)
    step.installation = fitting
    here = address_of(fitting, "fitting-step", number)
    form = StepForm(request, step)
    photo = PhotoForm(request, fitting, about=str(step.pk), step=step)
    acts = acts_to_do(request, InstallationState(fitting), step)
    if stored := form.apply():
        return form.kept(step_message(step, stored), here)
    if photo.keep():
        return photo.kept(_("The photo is saved."), here)
    for change in forms_of(acts):
        if change.apply():
            return change.kept(_("The packers are recorded. Read it again now."), here)
    steps = list(steps_of(InstallationState(fitting)))
    more = {
        "form": form,
        "photo": photo,
        "entry": steps[number - 1],
        "following": steps[number] if number < len(steps) else None,
        "rounds": rounds_of(step),
        "acts": acts,
        "screws": screws_for(step, fitting.plan),
        "packers": packers_to_level(step),
        "in_the_way": in_the_way(fitting, step),
        "photos": step.photos.order_by("created_at"),
        "defects": step.defects.order_by("-created_at"),
    }
    if step.register == "survey_after_removal":
        opening = fitting.doorset.opening
        more["measured"] = survey_after_removal(opening) is not None
        more["against"] = open_wall_gate_for(fitting.doorset)
    return show(request, "step.html", fitting, [form, photo, *forms_of(acts)], **more)


def in_the_way(fitting: Installation, step: PlanStep) -> list[Blocker]:
    """What a step waits for before it can be recorded; each named once."""
    blockers: dict[str, Blocker] = {}
    state = InstallationState(fitting)
    requirements = (
        lambda: require_gate(state, step.phase),
        lambda: require_hold_points(state, step),
    )
    for require in requirements:
        try:
            require()
        except GateClosed as closed:
            blockers |= {blocker.what: blocker for blocker in closed.blockers}
    return list(blockers.values())


def rounds_of(step: PlanStep) -> list[dict[str, Any]]:
    """All its inspections, the newest first, each number with what would decide it."""
    inspections = step.inspections.select_related("inspector", "instrument").prefetch_related(
        "readings"
    )
    confidence = step.installation.rule_set.rules["decision.confidence"]
    return [
        {
            "inspection": inspection,
            "readings": [_judged(reading, confidence) for reading in inspection.readings.all()],
            "dew_point": dew_point_of(inspection),
            "shortfalls": [why for whys in inspection.shortfalls.values() for why in whys],
            "not_in_order": [
                step.checks.get(name, name) for name, good in inspection.checks.items() if not good
            ],
        }
        for inspection in inspections.order_by("-created_at", "-id")
    ]


def dew_point_of(inspection: Inspection) -> float | None:
    """C, to a tenth, of the air beside a joint while it was sealed; None where it was not read."""
    air, humidity = inspection.air_temperature, inspection.relative_humidity
    return None if air is None or humidity is None else round(dew_point(air, humidity), 1)


def _judged(reading: Reading, confidence: float) -> dict[str, Any]:
    doubt = reading.decision == Inspection.Outcome.INCONCLUSIVE
    limits = {"lower": reading.lower, "upper": reading.upper, "unit": reading.unit}
    return {
        "reading": reading,
        "place": code_label(reading.place),
        "limits": limits,
        "measured": {code_label(place): value for place, value in reading.measured.items()},
        "would_settle": settling_uncertainty(
            reading.value, reading.lower, reading.upper, confidence
        )
        if doubt
        else None,
    }


def step_message(step: PlanStep, stored: Any) -> str:
    messages = {
        Inspection.Outcome.PASS: _("Step {number} is recorded: in order."),
        Inspection.Outcome.FAIL: _("Step {number} is recorded: not in order; a defect is open."),
        Inspection.Outcome.INCONCLUSIVE: _(
            "Step {number} is recorded: not decided yet; see below what would decide it."
        ),
    }
    return messages[stored.outcome].format(number=step.number)
