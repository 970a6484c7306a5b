"""Handing the doorsets of a job over: what the customer is shown, the keys, the signature."""

from typing import Any

from django import forms
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods

from installs.gates import handover_gate
from installs.models import Handover, Installation
from installs.services.handing_over import current_installations
from installs.views import fields
from installs.views.operation_form import OperationForm, sent_as
from jobs.api.fields import IntegerQuantityField
from jobs.capabilities import Capability
from jobs.models import Job
from jobs.views.access import capability_required, person_of
from jobs.views.quantities import QuantityFormField
from jobs.views.saving import Crumb

FEWEST_KEYS, MOST_KEYS = 1, 50


class HandoverForm(OperationForm):
    operation = "hand_over"
    button = "Hand over"

    def __init__(self, request: HttpRequest, job: Job, installations: list[Installation]) -> None:
        own = {"job": str(job.pk)}
        super().__init__(
            request, about=str(job.pk), title=f"Handover of {job.reference}", fixed=own
        )
        self.fields |= {
            "demonstrated": fields.tick("Shown how to open, close and lock every doorset"),
            "care_given": fields.tick("Told how to look after it, and given the care notes"),
        }
        for one in installations:
            keys = IntegerQuantityField("keys", FEWEST_KEYS, MOST_KEYS)
            name = f"Keys of opening {one.doorset.opening.number}, {one.doorset.opening.name}"
            self.fields[f"keys.{one.pk}"] = sent_as(QuantityFormField(keys, label=name), "integer")
        self.fields["customer_name"] = forms.CharField(
            label="Name of whoever takes it over",
            max_length=Handover._meta.get_field("customer_name").max_length,
        )
        self.fields["signature"] = sent_as(
            forms.JSONField(
                required=False,
                widget=forms.HiddenInput(attrs={"data-signature": True}),
                error_messages={"invalid": "the signature cannot be read; sign again"},
            ),
            "json",
        )


@capability_required(Capability.RECORD_FITTING)
@require_http_methods(["GET", "POST"])
def handover_page(request: HttpRequest, reference: str) -> HttpResponse:
    jobs = Job.objects.visible_to(person_of(request)).select_related("customer", "site")
    job = get_object_or_404(jobs, reference=reference)
    installations = list(current_installations(job))
    form = HandoverForm(request, job, installations)
    if form.perform():
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
