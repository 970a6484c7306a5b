"""Handing the doorsets of a job over: the demonstration, the keys, the signature."""

from typing import Any

from django import forms
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_http_methods

from installs.gates import handover_gate
from installs.models import Defect, Installation
from installs.operations import HAND_OVER
from installs.services.handing_over import (
    current_installations,
    keys_handed_over,
    newest_handover,
    openings_without_fitting,
)
from installs.services.still_to_come import left_to_come, until_of
from installs.views.operation_form import OperationForm
from jobs.capabilities import Capability
from jobs.models import Job
from jobs.views.access import capability_required, person_of
from jobs.views.saving import Crumb


class HandoverForm(OperationForm):
    operation = HAND_OVER
    button = gettext_lazy("Hand over")

    def __init__(
        self,
        request: HttpRequest,
        job: Job,
        installations: list[Installation],
        left: list[Defect],
    ) -> None:
        """`left`: defects that are named above the signature as still to come."""
        own = {"job": str(job.pk)} | _shown(left)
        title = _("Handover of {reference}").format(reference=job.reference)
        super().__init__(request, about=str(job.pk), title=title, fixed=own)
        self.add("demonstrated", _("I demonstrated how to open, close and lock every doorset"))
        self.add("care_given", _("I explained its care, and handed over the care notes"))
        for installation in installations:
            opening = installation.doorset.opening
            label = _("Keys of opening {number}, {name}")
            label = label.format(number=opening.number, name=opening.name)
            self.add(f"keys.{installation.pk}", label)
        self.add("customer_name", _("Name of whoever takes it over"))
        self.add(
            "signature",
            _("Signature"),
            widget=forms.HiddenInput(attrs={"data-signature": True}),
            error_messages={"invalid": _("the signature cannot be read; sign again")},
        )
        self.add("unsigned_because", _("If it is not signed here: why, such as “on paper”"))


def _shown(left: list[Defect]) -> dict[str, str]:
    """What the customer has seen of each when they sign."""
    shown: dict[str, str] = {}
    for number, defect in enumerate(left):
        shown[f"to_come.{number}.defect"] = str(defect.pk)
        shown[f"to_come.{number}.until"] = until_of(defect)
    return shown


@capability_required(Capability.RECORD_FITTING)
@require_http_methods(["GET", "POST"])
def handover_page(request: HttpRequest, reference: str) -> HttpResponse:
    jobs = Job.objects.visible_to(person_of(request)).select_related("customer", "site")
    job = get_object_or_404(jobs, reference=reference)
    known = keys_handed_over(job)
    fitted = list(current_installations(job))
    installations = [fitting for fitting in fitted if str(fitting.pk) not in known]
    left = left_to_come(installations)
    form = HandoverForm(request, job, installations, left)
    if form.apply():
        return form.kept(_("The job is handed over."), reverse("handover", args=[reference]))
    handover = newest_handover(job)
    more_to_do = bool(installations) or openings_without_fitting(job)
    context: dict[str, Any] = {
        "job": job,
        "crumbs": [Crumb(_("Today"), reverse("today"))],
        "installations": installations,
        "left": left,
        "handover": handover,
        "keys": [(fitting, known.get(str(fitting.pk))) for fitting in fitted if known],
        "more_to_do": more_to_do or handover is None,
        "in_the_way": handover_gate(job) if more_to_do or handover is None else [],
        "form": form,
    }
    return render(request, "installs/handover.html", context, status=400 if form.errors else 200)
