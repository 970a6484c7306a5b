"""The public page on which anybody who holds a paper sees whether it still stands."""

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_http_methods

from reports.api.serializers import PaperUploadSerializer
from reports.verification import find_document, sha256_of
from reports.views.public_views import firm, for_everybody


@require_http_methods(["GET", "HEAD", "POST"])
@for_everybody
def verify(request: HttpRequest, code: str) -> HttpResponse:
    """How the paper stands; a posted `file` is compared by its SHA-256 and not kept."""
    document = find_document(code)
    shown: dict[str, Any] = {"document": document, "firm": firm()}
    if document is None:
        return render(request, "reports/verification_unknown.html", shown, status=404)
    if request.method == "POST":
        upload = PaperUploadSerializer(data=request.FILES)
        if not upload.is_valid():
            shown["trouble"] = next(iter(upload.errors.values()))[0]
            return render(request, "reports/verification.html", shown, status=400)
        shown["digest"] = sha256_of(upload.validated_data["file"])
        shown["identical"] = shown["digest"] == document.sha256
    return render(request, "reports/verification.html", shown)
