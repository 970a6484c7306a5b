"""Handing the doorsets of a job over: what the customer is shown, the keys, the signature."""

from typing import Any

from django import forms
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods

from installs.gates import handover_gate
from installs.models import Handover, Installation
from installs.operations import HAND_OVER
from installs.services.handing_over import current_installations
from installs.views.operation_form import OperationForm
from jobs.capabilities import Capability
from jobs.models import Job
from jobs.views.access import capability_required, person_of
from jobs.views.saving import Crumb


class HandoverForm(OperationForm):
    operation = HAND_OVER
    button = "Hand over"

    def __init__(self, request: HttpRequest, job: Job, installations: list[Installation]) -> None:
        own = {"job": str(job.pk)}
        super().__init__(
            request, about=str(job.pk), title=f"Handover of {job.reference}", fixed=own
        )
        self.add("demonstrated", "Shown how to open, close and lock every doorset")
        self.add("care_given", "Told how to look after it, and given the care notes")
        for one in installations:
            opening = one.doorset.opening
            self.add(f"keys.{one.pk}", f"Keys of opening {opening.number}, {opening.name}")
        self.add("customer_name", "Name of whoever takes it over")
        self.add(
            "signature",
            "Signature",
            widget=forms.HiddenInput(attrs={"data-signature": True}),
            error_messages={"invalid": "the signature cannot be read; sign again"},
        )


@capability_required(Capability.RECORD_FITTING)
@require_http_methods(["GET", "POST"])
def handover_page(request: HttpRequest, reference: str) -> HttpResponse:
    jobs = Job.objects.visible_to(person_of(request)).select_related("customer", "site")
    job = get_object_or_404(jobs, reference=reference)
    installations = list(current_installations(job))
    form = HandoverForm(request, job, installations)
    if form.apply():
        return form.kept("The job is handed over.", reverse("handover", args=[reference]))
    handover = Handover.objects.filter(job=job).select_related("fitter").first()
    shown: dict[str, Any] = {
        "job": job,
        "crumbs": [Crumb("Today", reverse("today"))],
        "installations": installations,
        "handover": handover,
        "keys": _keys(handover, installations),
        "in_the_way": [] if handover else handover_gate(job),
        "form": form,
    }
    return render(request, "installs/handover.html", shown, status=400 if form.errors else 200)


def _keys(handover: Handover | None, installations: list[Installation]) -> list[Any]:
    """Each fitting with the keys that were handed over for it."""
    if handover is None:
        return []
    return [(one, handover.keys.get(str(one.pk))) for one in installations]
