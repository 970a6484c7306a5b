"""Crews: people who go out together, and are booked together."""

from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from jobs.capabilities import Capability
from jobs.models import Crew
from jobs.services import diary
from jobs.views.access import capability_required, person_of
from jobs.views.crew_forms import CrewForm
from jobs.views.saving import Crumb, FormPage, typed


@capability_required(Capability.BOOK)
@require_safe
def crew_list(request: HttpRequest) -> HttpResponse:
    crews = Crew.objects.visible_to(person_of(request)).prefetch_related("members")
    return render(request, "jobs/crew_list.html", {"crews": crews.order_by("name")})


@capability_required(Capability.BOOK)
@require_http_methods(["GET", "POST"])
def add_crew(request: HttpRequest) -> HttpResponse:
    page = FormPage(_("A new crew"), [_list_crumb()], draft="crew-new", button=_("Add the crew"))
    form = CrewForm(typed(request))
    if form.is_valid():
        crew = form.create(Crew, person_of(request), diary.add_crew, **form.values)
        if crew:
            message = _("{crew} can be booked.").format(crew=crew.name)
            return page.leave(request, message, "crew-list")
    return page.show(request, form)


@capability_required(Capability.BOOK)
@require_http_methods(["GET", "POST"])
def change_crew(request: HttpRequest, pk: UUID) -> HttpResponse:
    crew = get_object_or_404(Crew.objects.visible_to(person_of(request)), pk=pk)
    page = FormPage(
        title=_("Change {name}").format(name=crew.name),
        crumbs=[_list_crumb()],
        draft=f"crew-{pk}-{crew.version}",
        button=_("Save the change"),
    )
    form = CrewForm(typed(request), initial=CrewForm.showing(crew))
    if form.is_valid() and form.attempt(
        lambda: diary.change_crew(
            actor=person_of(request),
            crew=crew,
            expected_version=form.expected_version,
            **form.values,
        )
    ):
        return page.leave(request, _("The change is saved."), "crew-list")
    return page.show(request, form)


def _list_crumb() -> Crumb:
    return Crumb(_("Crews"), reverse("crew-list"))
