"""The document behind a link that was sent because its file is too large for an e-mail."""

from django.conf import settings
from django.http import HttpRequest, HttpResponse
from django.http.response import HttpResponseBase
from django.shortcuts import redirect, render
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from reports.document_links import LinkExpired, document_of
from reports.models import Document
from reports.views.paper_files import paper_or_why_not


@never_cache
@require_safe
def linked_document(request: HttpRequest, token: str) -> HttpResponseBase:
    """The PDF while it is valid; one that was superseded or withdrawn leads to the page that says
    so, so that nobody gets a paper which is no longer valid."""
    try:
        document = document_of(token)
    except LinkExpired:
        return _no_document(request, expired=True)
    if document is None:
        return _no_document(request, expired=False)
    if document.status != Document.Status.GENUINE:
        return redirect("verify", code=document.verification_code)
    return paper_or_why_not(request, document)


def _no_document(request: HttpRequest, *, expired: bool) -> HttpResponse:
    context = {
        "expired": expired,
        "firm": settings.FIRM_NAME,
        "telephone": settings.FIRM_TELEPHONE,
        "email": settings.FIRM_EMAIL,
    }
    return render(request, "reports/no_document.html", context, status=410 if expired else 404)
