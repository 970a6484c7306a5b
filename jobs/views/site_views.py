"""Sites, reached from the customer whose doors are fitted there."""

from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from jobs.capabilities import Capability
from jobs.models import Customer, Site
from jobs.services import jobs as services
from jobs.views.access import capability_required, person_of
from jobs.views.customer_forms import SiteForm
from jobs.views.customer_views import crumb_of, list_crumb, sites_for
from jobs.views.saving import FormPage, typed


@capability_required(Capability.MANAGE_JOBS)
@require_http_methods(["GET", "POST"])
def add_site(request: HttpRequest, customer_pk: UUID) -> HttpResponse:
    """Leads on to taking on the first job there."""
    customer = _customer(request, customer_pk)
    page = FormPage(
        title=_("A new site for {name}").format(name=customer.name),
        crumbs=[list_crumb(), crumb_of(customer)],
        draft=f"site-new-{customer_pk}",
        button=_("Add the site"),
        lead=_("Where the work is done. The job is taken on next."),
    )
    form = SiteForm(typed(request))
    if form.is_valid():
        stored = form.create(Site, person_of(request), services.add_site, **form.values)
        if stored:
            query = {"site": str(stored.pk)}
            onwards = reverse("take-on-job", args=[customer_pk], query=query)
            message = _("{name} was added.").format(name=stored.one_line)
            return page.leave(request, message, onwards)
    return page.show(request, form)


@capability_required(Capability.MANAGE_JOBS)
@require_http_methods(["GET", "POST"])
def change_site(request: HttpRequest, customer_pk: UUID, pk: UUID) -> HttpResponse:
    customer = _customer(request, customer_pk)
    site = get_object_or_404(sites_for(person_of(request), customer), pk=pk)
    page = FormPage(
        title=_("Change {name}").format(name=site.one_line),
        crumbs=[list_crumb(), crumb_of(customer)],
        draft=f"site-{pk}-{site.version}",
        button=_("Save the change"),
    )
    form = SiteForm(typed(request), initial=SiteForm.showing(site))
    if form.is_valid() and form.attempt(lambda: _changed(request, site, form)):
        return page.leave(request, _("The change is saved."), "customer", customer_pk=customer_pk)
    return page.show(request, form)


def _changed(request: HttpRequest, site: Site, form: SiteForm) -> Site:
    return services.change_site(
        actor=person_of(request), site=site, expected_version=form.expected_version, **form.values
    )


def _customer(request: HttpRequest, pk: UUID) -> Customer:
    return get_object_or_404(Customer.objects.visible_to(person_of(request)), pk=pk)
