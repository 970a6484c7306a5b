"""The file of a paper for somebody with a browser, or a page that says why it is held back."""

from django.http import HttpRequest
from django.http.response import HttpResponseBase
from django.shortcuts import render

from jobs.errors import ContradictsJournal
from reports.addresses import verification_address
from reports.document_file import document_file
from reports.models import Document
from reports.views.public_views import firm


def paper_or_why_not(
    request: HttpRequest, document: Document, *, of_the_firm: bool = False
) -> HttpResponseBase:
    """The PDF; 409 for one that is not what was made. What contradicts the journal is said to
    people of the firm alone."""
    try:
        return document_file(document)
    except ContradictsJournal as refusal:
        context = {
            "document": document,
            "firm": firm(),
            "of_the_firm": of_the_firm,
            "why": str(refusal),
            "address": verification_address(document.verification_code),
        }
        return render(request, "reports/paper_held_back.html", context, status=409)
