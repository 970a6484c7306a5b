"""Profile systems: the families of doorsets that the firm orders."""

from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_GET, require_http_methods

from jobs.capabilities import Capability
from jobs.models import ProfileSystem
from jobs.services import catalogue
from jobs.views.access import capability_required, person_of
from jobs.views.lists import one_page
from jobs.views.profile_system_forms import ProfileSystemForm
from jobs.views.saving import Crumb, FormPage, typed

LEAD = gettext_lazy(
    "Take every figure from the maker's own data: leaf sizes, masses, limits and the U-value of "
    "each doorset follow from them."
)
LEAD_OF_CHANGE = gettext_lazy(
    "Take every figure from the maker's own data: leaf sizes, masses, limits and the U-value of "
    "each doorset follow from them. Doorsets drafted before keep their calculation until they are "
    "saved again."
)
TEMPLATE = "jobs/profile_system_form.html"


@capability_required(Capability.MANAGE_CATALOGUE)
@require_GET
def profile_system_list(request: HttpRequest) -> HttpResponse:
    systems = ProfileSystem.objects.visible_to(person_of(request))
    return render(request, "jobs/profile_system_list.html", one_page(request, systems))


@capability_required(Capability.MANAGE_CATALOGUE)
@require_http_methods(["GET", "POST"])
def add_profile_system(request: HttpRequest) -> HttpResponse:
    page = FormPage(
        title=_("A new profile system"),
        crumbs=[_list_crumb()],
        draft="profile-system-new",
        button=_("Add the profile system"),
        lead=str(LEAD),
        template=TEMPLATE,
    )
    form = ProfileSystemForm(typed(request))
    if form.is_valid():
        add = catalogue.add_profile_system
        stored = form.create(ProfileSystem, person_of(request), add, **form.system)
        if stored:
            message = _("{name} was added.").format(name=stored)
            return page.leave(request, message, "profile-system-list")
    return page.show(request, form)


@capability_required(Capability.MANAGE_CATALOGUE)
@require_http_methods(["GET", "POST"])
def change_profile_system(request: HttpRequest, pk: UUID) -> HttpResponse:
    system = get_object_or_404(ProfileSystem.objects.visible_to(person_of(request)), pk=pk)
    page = FormPage(
        title=_("Change {name}").format(name=system.name),
        crumbs=[_list_crumb()],
        draft=f"profile-system-{pk}-{system.version}",
        button=_("Save the change"),
        lead=str(LEAD_OF_CHANGE),
        template=TEMPLATE,
        more={"system": system},
    )
    form = ProfileSystemForm(typed(request), initial=ProfileSystemForm.showing(system))
    if form.is_valid() and form.attempt(lambda: _changed(request, system, form)):
        return page.leave(request, _("The change is saved."), "profile-system-list")
    return page.show(request, form)


def _list_crumb() -> Crumb:
    return Crumb(_("Profile systems"), reverse("profile-system-list"))


def _changed(request: HttpRequest, system: ProfileSystem, form: ProfileSystemForm) -> ProfileSystem:
    return catalogue.change_profile_system(
        actor=person_of(request),
        profile_system=system,
        expected_version=form.expected_version,
        **form.system,
    )
