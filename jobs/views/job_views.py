"""Taking on a job, and giving it another title."""

from uuid import UUID

from django.core.exceptions import ValidationError
from django.db.models import QuerySet
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from jobs.capabilities import Capability
from jobs.models import Customer, Job, RuleSet, Site
from jobs.services import jobs as services
from jobs.views.access import capability_required, person_of
from jobs.views.customer_views import crumb_of, list_crumb, sites_for
from jobs.views.job_forms import JobForm, NewJobForm
from jobs.views.saving import Crumb, FormPage, typed


@capability_required(Capability.MANAGE_JOBS)
@require_http_methods(["GET", "POST"])
def take_on_job(request: HttpRequest, customer_pk: UUID) -> HttpResponse:
    """For a customer; `?site=` has one chosen already."""
    person = person_of(request)
    customer = get_object_or_404(Customer.objects.visible_to(person), pk=customer_pk)
    sites = sites_for(person, customer)
    site = _chosen(request, sites)
    page = FormPage(
        title=_("Take on a job for {name}").format(name=customer.name),
        crumbs=[list_crumb(), crumb_of(customer)],
        draft=f"job-new-{customer_pk}",
        button=_("Take on the job"),
        template="jobs/take_on_job.html",
        more={"customer": customer, "site": site},
    )
    form = NewJobForm(
        typed(request),
        sites=sites,
        site=site,
        rule_sets=RuleSet.objects.visible_to(person),
    )
    if form.is_valid():
        job = form.create(Job, person, services.take_on_job, customer=customer, **form.values)
        if job:
            message = _("The job is {reference}. Next, add its openings.")
            message = message.format(reference=job.reference)
            return page.leave(request, message, "job", reference=job.reference)
    return page.show(request, form)


@capability_required(Capability.MANAGE_JOBS)
@require_http_methods(["GET", "POST"])
def change_job(request: HttpRequest, reference: str) -> HttpResponse:
    job = job_of(request, reference)
    page = FormPage(
        title=_("Change {name}").format(name=reference),
        crumbs=crumbs_of(job),
        draft=f"job-{job.pk}-{job.version}",
        button=_("Save the change"),
    )
    form = JobForm(typed(request), initial={"version": job.version, "title": job.title})
    if form.is_valid() and form.attempt(lambda: _changed(request, job, form)):
        return page.leave(request, _("The change is saved."), "job", reference=reference)
    return page.show(request, form)


def job_of(request: HttpRequest, reference: str) -> Job:
    """The job of an address; 404 where it is not theirs to see."""
    visible = Job.objects.visible_to(person_of(request))
    return get_object_or_404(visible.select_related("rule_set"), reference=reference)


def crumbs_of(job: Job) -> list[Crumb]:
    return [
        Crumb(_("Jobs"), reverse("job-list")),
        Crumb(f"{job.reference} {job.title}", reverse("job", args=[job.reference])),
    ]


def _chosen(request: HttpRequest, sites: QuerySet[Site]) -> Site | None:
    try:
        return sites.filter(pk=request.GET.get("site", "")).first()
    except ValidationError:
        return None


def _changed(request: HttpRequest, job: Job, form: JobForm) -> Job:
    return services.change_job(
        actor=person_of(request), job=job, expected_version=form.expected_version, **form.values
    )
