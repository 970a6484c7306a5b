"""The openings of a job: the holes in the wall that take a doorset."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.views.decorators.http import require_http_methods

from jobs.capabilities import Capability
from jobs.models import Opening
from jobs.services import jobs as services
from jobs.views.access import capability_required, person_of
from jobs.views.job_forms import OpeningForm
from jobs.views.job_views import crumbs_of, job_of
from jobs.views.saving import FormPage, typed


@capability_required(Capability.MANAGE_JOBS)
@require_http_methods(["GET", "POST"])
def add_opening(request: HttpRequest, reference: str) -> HttpResponse:
    job = job_of(request, reference)
    page = FormPage(
        title="A new opening",
        crumbs=crumbs_of(job),
        draft=f"opening-new-{job.pk}",
        button="Add the opening",
        lead="One for each doorset. It is surveyed, and a doorset is drafted for it, in any order.",
    )
    form = OpeningForm(typed(request))
    if form.is_valid():
        values = {"job": job, **form.values}
        opening = form.create(Opening, person_of(request), services.add_opening, **values)
        if opening:
            told = f"Opening {opening.number}, {opening.name}, is added."
            return page.leave(request, told, "job", reference=reference)
    return page.show(request, form)


@capability_required(Capability.MANAGE_JOBS)
@require_http_methods(["GET", "POST"])
def change_opening(request: HttpRequest, reference: str, number: int) -> HttpResponse:
    opening = opening_of(request, reference, number)
    page = FormPage(
        title=f"Change opening {number}",
        crumbs=crumbs_of(opening.job),
        draft=f"opening-{opening.pk}-{opening.version}",
        button="Keep the change",
    )
    shown = {"version": opening.version, "name": opening.name}
    form = OpeningForm(typed(request), initial=shown)
    if form.is_valid() and form.attempt(lambda: _changed(request, opening, form)):
        return page.leave(request, "The change is kept.", "job", reference=reference)
    return page.show(request, form)


def opening_of(request: HttpRequest, reference: str, number: int) -> Opening:
    """The opening of an address; 404 where it is not theirs to see."""
    visible = Opening.objects.visible_to(person_of(request)).select_related("job__rule_set")
    return get_object_or_404(visible, job__reference=reference, number=number)


def _changed(request: HttpRequest, opening: Opening, form: OpeningForm) -> Opening:
    return services.change_opening(
        actor=person_of(request),
        opening=opening,
        expected_version=form.expected_version,
        **form.values,
    )
