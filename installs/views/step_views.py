"""One step of the plan: what it asks for, what was found, its photos."""

from typing import Any
from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.views.decorators.http import require_http_methods

from installs.arithmetic.conformity import settling_uncertainty
from installs.labels import steps_of
from installs.models import Inspection, Installation, PlanStep, Reading
from installs.services.recording import require_gate, require_hold_points
from installs.state import InstallationState
from installs.views.fittings import address_of, fitting_of, show
from installs.views.photo_forms import PhotoForm
from installs.views.step_forms import StepForm
from jobs.capabilities import Capability
from jobs.code_labels import code_label
from jobs.errors import Blocker, GateClosed
from jobs.views.access import capability_required


@capability_required(Capability.RECORD_FITTING)
@require_http_methods(["GET", "POST"])
def step_page(request: HttpRequest, pk: UUID, number: int) -> HttpResponse:
    fitting = fitting_of(request, pk)
    step = get_object_or_404(fitting.steps, number=number)
    step.installation = fitting
    here = address_of(fitting, "fitting-step", number)
    form = StepForm(request, step)
    photo = PhotoForm(request, fitting, about=str(step.pk), step=step)
    if stored := form.apply():
        return form.kept(_told(step, stored), here)
    if photo.keep():
        return photo.kept("The photo is kept.", here)
    steps = list(steps_of(InstallationState(fitting)))
    more = {
        "form": form,
        "photo": photo,
        "shown": steps[number - 1],
        "following": steps[number] if number < len(steps) else None,
        "rounds": rounds_of(step),
        "in_the_way": in_the_way(fitting, step),
        "photos": step.photos.order_by("created_at"),
        "defects": step.defects.order_by("-created_at"),
    }
    return show(request, "step.html", fitting, [form, photo], **more)


def in_the_way(fitting: Installation, step: PlanStep) -> list[Blocker]:
    """What a step waits for before it can be recorded; each named once."""
    found: dict[str, Blocker] = {}
    state = InstallationState(fitting)
    asked = (
        lambda: require_gate(state, step.phase),
        lambda: require_hold_points(state, step),
    )
    for ask in asked:
        try:
            ask()
        except GateClosed as closed:
            found |= {blocker.what: blocker for blocker in closed.blockers}
    return list(found.values())


def rounds_of(step: PlanStep) -> list[dict[str, Any]]:
    """All its inspections, the newest first, each number with what would decide it."""
    made = step.inspections.select_related("inspector", "instrument").prefetch_related("readings")
    confidence = step.installation.rule_set.rules["decision.confidence"]
    return [
        {
            "inspection": one,
            "readings": [_judged(reading, confidence) for reading in one.readings.all()],
            "not_in_order": [
                step.checks.get(name, name) for name, good in one.checks.items() if not good
            ],
        }
        for one in made.order_by("-created_at", "-id")
    ]


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


def _told(step: PlanStep, stored: Any) -> str:
    words = {
        Inspection.Outcome.PASS: "in order",
        Inspection.Outcome.FAIL: "not in order; a defect is open",
        Inspection.Outcome.INCONCLUSIVE: "not decided yet; see below what would decide it",
    }
    return f"Step {step.number} is recorded: {words[stored.outcome]}."
