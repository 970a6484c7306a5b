"""What a customer sees through the link that they were given: no sign-in, nothing of others."""

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.http.response import HttpResponseBase
from django.shortcuts import redirect, render
from django.views.decorators.http import require_safe

from jobs.models import Job
from reports.handover_links import job_of
from reports.paper_file import paper_file
from reports.paper_links import LinkExpired
from reports.views.handover_context import certificate_of, handover_shown
from reports.views.public_views import firm, for_everybody


@require_safe
@for_everybody
def handover(request: HttpRequest, token: str) -> HttpResponse:
    """What was fitted, how it is used and looked after, and what is still to come."""
    found = _opened(request, token)
    if isinstance(found, HttpResponse):
        return found
    shown: dict[str, Any] = handover_shown(found) | {"firm": firm(), "token": token}
    return render(request, "reports/customer_handover.html", shown)


@require_safe
@for_everybody
def certificate(request: HttpRequest, token: str) -> HttpResponseBase:
    """The certificate that stands; back to the page, which says so, while there is none."""
    found = _opened(request, token)
    if isinstance(found, HttpResponse):
        return found
    document = certificate_of(found)
    if document is None:
        return redirect("customer-handover", token=token)
    return paper_file(document)


def _opened(request: HttpRequest, token: str) -> Job | HttpResponse:
    """The job behind the link, or the page that says what to do about the link."""
    try:
        job = job_of(token)
    except LinkExpired:
        return _no_link(request, expired=True)
    return job or _no_link(request, expired=False)


def _no_link(request: HttpRequest, *, expired: bool) -> HttpResponse:
    shown = {"expired": expired, "firm": firm()}
    return render(request, "reports/customer_no_link.html", shown, status=410 if expired else 404)
