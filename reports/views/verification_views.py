"""The public page on which anybody who has a paper checks whether it is valid."""

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_http_methods

from reports.api.serializers import PaperUploadSerializer
from reports.issued_papers import find_paper, sha256_of
from reports.views.public_views import firm, public_page


@require_http_methods(["GET", "HEAD", "POST"])
@public_page
def verify(request: HttpRequest, code: str) -> HttpResponse:
    """The status of the document; a posted `file` is compared by its SHA-256 and not kept."""
    document = find_paper(code)
    context: dict[str, Any] = {"document": document, "firm": firm()}
    if document is None:
        return render(request, "reports/verification_unknown.html", context, status=404)
    if request.method == "POST":
        upload = PaperUploadSerializer(data=request.FILES)
        if not upload.is_valid():
            context["error"] = next(iter(upload.errors.values()))[0]
            return render(request, "reports/verification.html", context, status=400)
        context["digest"] = sha256_of(upload.validated_data["file"])
        context["file_is"] = document.compare(context["digest"])
    return render(request, "reports/verification.html", context)
