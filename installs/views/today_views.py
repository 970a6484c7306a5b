"""Where a surveyor and a fitter begin their day, and where the fitting of a doorset is planned."""

from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods

from installs.models import Installation
from installs.services.installing import plan_installation
from installs.views.today import days_of
from jobs.capabilities import Capability
from jobs.models import Doorset, Visit
from jobs.views.access import capability_required, person_of
from jobs.views.forms import RecordForm
from jobs.views.saving import Crumb, typed
from surveys.gates import removal_gate_of


@capability_required(Capability.ATTEND_VISITS)
@require_GET
def today(request: HttpRequest) -> HttpResponse:
    person = person_of(request)
    days = days_of(person)
    context = {
        "days": days,
        "any": any(day.calls for day in days),
        "fits": person.has_capability(Capability.RECORD_FITTING),
    }
    return render(request, "installs/today.html", context)


@capability_required(Capability.RECORD_FITTING)
@require_http_methods(["GET", "POST"])
def plan_fitting(request: HttpRequest, visit_pk: UUID, doorset_pk: UUID) -> HttpResponse:
    """Freezes the plan once the removal gate is open; until then, what is in the way.

    As a part of a page only its inner part is sent.
    """
    person = person_of(request)
    visits = Visit.objects.visible_to(person).not_cancelled()
    visit = get_object_or_404(visits.select_related("job").distinct(), pk=visit_pk)
    doorsets = Doorset.objects.visible_to(person).select_related("opening__job__rule_set")
    doorset = get_object_or_404(doorsets, pk=doorset_pk, opening__job=visit.job)
    planned = Installation.objects.filter(doorset=doorset).first()
    if planned:
        return redirect("fitting", planned.pk)
    form = RecordForm(typed(request))
    if form.is_valid() and (stored := _planned(request, form, visit, doorset)):
        return redirect("fitting", stored.pk)
    context = {
        "visit": visit,
        "doorset": doorset,
        "form": form,
        "in_the_way": removal_gate_of(doorset.opening),
        "crumbs": [Crumb(_("Today"), reverse("today"))],
    }
    part = getattr(request, "htmx", False) and request.method == "GET"
    template = "plan_fitting_part.html" if part else "plan_fitting.html"
    return render(request, f"installs/{template}", context, status=400 if form.errors else 200)


def _planned(
    request: HttpRequest, form: RecordForm, visit: Visit, doorset: Doorset
) -> Installation | None:
    return form.create(
        Installation, person_of(request), plan_installation, doorset=doorset, visit=visit
    )
