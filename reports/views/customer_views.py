"""The pages behind the link that a customer received: no sign-in, nothing about anybody else."""

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.http.response import HttpResponseBase
from django.shortcuts import redirect, render
from django.views.decorators.http import require_safe

from jobs.models import Job
from reports.document_links import LinkExpired
from reports.handover_links import job_of
from reports.views.handover_context import certificate_of, handover_context
from reports.views.paper_files import paper_or_why_not
from reports.views.public_views import firm, public_page


@require_safe
@public_page
def handover(request: HttpRequest, token: str) -> HttpResponse:
    """What was fitted, how it is used and looked after, and what is still to come."""
    job = _job_or_no_link(request, token)
    if isinstance(job, HttpResponse):
        return job
    context: dict[str, Any] = handover_context(job) | {"firm": firm(), "token": token}
    return render(request, "reports/customer_handover.html", context)


@require_safe
@public_page
def certificate(request: HttpRequest, token: str) -> HttpResponseBase:
    """The valid certificate; back to the page, which says so, while there is none."""
    job = _job_or_no_link(request, token)
    if isinstance(job, HttpResponse):
        return job
    document = certificate_of(job)
    if document is None:
        return redirect("customer-handover", token=token)
    return paper_or_why_not(request, document)


def _job_or_no_link(request: HttpRequest, token: str) -> Job | HttpResponse:
    """The job behind the link, or the page that says what to do about the link."""
    try:
        job = job_of(token)
    except LinkExpired:
        return _no_link(request, expired=True)
    return job or _no_link(request, expired=False)


def _no_link(request: HttpRequest, *, expired: bool) -> HttpResponse:
    context = {"expired": expired, "firm": firm()}
    return render(request, "reports/customer_no_link.html", context, status=410 if expired else 404)
