"""The openings of a job: the structural openings that take a doorset."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.utils.translation import gettext as _
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
        title=_("A new opening"),
        crumbs=crumbs_of(job),
        draft=f"opening-new-{job.pk}",
        button=_("Add the opening"),
        lead=_("One for each doorset. Survey it and draft its doorset, in any order."),
    )
    form = OpeningForm(typed(request))
    if form.is_valid():
        values = {"job": job, **form.values}
        opening = form.create(Opening, person_of(request), services.add_opening, **values)
        if opening:
            message = _("Opening {number}, {name}, was added.")
            message = message.format(number=opening.number, name=opening.name)
            return page.leave(request, message, "job", reference=reference)
    return page.show(request, form)


@capability_required(Capability.MANAGE_JOBS)
@require_http_methods(["GET", "POST"])
def change_opening(request: HttpRequest, reference: str, number: int) -> HttpResponse:
    opening = opening_of(request, reference, number)
    page = FormPage(
        title=_("Change opening {number}").format(number=number),
        crumbs=crumbs_of(opening.job),
        draft=f"opening-{opening.pk}-{opening.version}",
        button=_("Save the change"),
    )
    form = OpeningForm(typed(request), initial=OpeningForm.showing(opening))
    if form.is_valid() and form.attempt(lambda: _changed(request, opening, form)):
        return page.leave(request, _("The change is saved."), "job", reference=reference)
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
