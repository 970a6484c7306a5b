"""Customers of the firm, and the sites that they have work done at."""

from uuid import UUID

from django.db.models import Count, Q, QuerySet
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods

from jobs.capabilities import Capability
from jobs.models import Customer, Job, Person, Site
from jobs.services import jobs as services
from jobs.views.access import capability_required, person_of
from jobs.views.customer_forms import CustomerForm
from jobs.views.lists import looked_for, one_page
from jobs.views.saving import Crumb, FormPage, typed


@capability_required(Capability.MANAGE_JOBS)
@require_GET
def customer_list(request: HttpRequest) -> HttpResponse:
    """Customers, newest first; `?q=` looks in name, e-mail, telephone and the towns of sites."""
    wanted = looked_for(request)
    customers = _customers(person_of(request), wanted)
    context = {"wanted": wanted, **one_page(request, customers)}
    return render(request, "jobs/customer_list.html", context)


@capability_required(Capability.MANAGE_JOBS)
@require_GET
def customer_page(request: HttpRequest, customer_pk: UUID) -> HttpResponse:
    customer = _customer(request, customer_pk)
    jobs = Job.objects.visible_to(person_of(request)).select_related("site")
    context = {
        "customer": customer,
        "jobs": jobs.filter(customer=customer),
        "sites": Site.objects.filter(jobs__customer=customer).distinct(),
        "crumbs": [list_crumb()],
    }
    return render(request, "jobs/customer.html", context)


@capability_required(Capability.MANAGE_JOBS)
@require_http_methods(["GET", "POST"])
def add_customer(request: HttpRequest) -> HttpResponse:
    page = FormPage(
        title=_("A new customer"),
        crumbs=[list_crumb()],
        draft="customer-new",
        button=_("Add the customer"),
        lead=_("Who the doorset is fitted for. The site and the job come next."),
    )
    form = CustomerForm(typed(request))
    if form.is_valid():
        stored = form.create(Customer, person_of(request), services.add_customer, **form.values)
        if stored:
            message = _("{name} was added.").format(name=stored)
            return page.leave(request, message, "customer", customer_pk=stored.pk)
    return page.show(request, form)


@capability_required(Capability.MANAGE_JOBS)
@require_http_methods(["GET", "POST"])
def change_customer(request: HttpRequest, customer_pk: UUID) -> HttpResponse:
    customer = _customer(request, customer_pk)
    page = FormPage(
        title=_("Change {name}").format(name=customer.name),
        crumbs=[list_crumb(), crumb_of(customer)],
        draft=f"customer-{customer_pk}-{customer.version}",
        button=_("Save the change"),
    )
    form = CustomerForm(typed(request), initial=CustomerForm.showing(customer))
    if form.is_valid() and form.attempt(lambda: _changed(request, customer, form)):
        return page.leave(request, _("The change is saved."), "customer", customer_pk=customer_pk)
    return page.show(request, form)


def list_crumb() -> Crumb:
    return Crumb(_("Customers"), reverse("customer-list"))


def crumb_of(customer: Customer) -> Crumb:
    return Crumb(customer.name, reverse("customer", args=[customer.pk]))


def sites_for(person: Person, customer: Customer) -> QuerySet[Site]:
    """Where this customer has had work done, and sites that no job has been taken on for yet."""
    theirs = Q(jobs__customer=customer) | Q(jobs=None)
    return Site.objects.visible_to(person).filter(theirs).distinct()


def _changed(request: HttpRequest, customer: Customer, form: CustomerForm) -> Customer:
    return services.change_customer(
        actor=person_of(request),
        customer=customer,
        expected_version=form.expected_version,
        **form.values,
    )


def _customer(request: HttpRequest, pk: UUID) -> Customer:
    return get_object_or_404(Customer.objects.visible_to(person_of(request)), pk=pk)


def _customers(person: Person, wanted: str) -> QuerySet[Customer]:
    """Each with how many jobs it has, as `job_count`."""
    customers = Customer.objects.visible_to(person)
    if wanted:
        matching = Customer.objects.filter(
            Q(name__icontains=wanted)
            | Q(email__icontains=wanted)
            | Q(telephone__icontains=wanted)
            | Q(jobs__site__town__icontains=wanted)
        )
        customers = customers.filter(pk__in=matching.values("pk"))
    return customers.annotate(job_count=Count("jobs"))
