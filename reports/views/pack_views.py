"""The fitting pack of a fitting, at an address that a fitter's phone saves ahead."""

from uuid import UUID

from django.http import Http404, HttpRequest
from django.http.response import HttpResponseBase
from django.views.decorators.http import require_GET

from installs.views.fittings import fitting_of
from jobs.capabilities import Capability
from jobs.views.access import capability_required, person_of
from reports.document_file import document_file
from reports.models import Document


@capability_required(Capability.RECORD_FITTING)
@require_GET
def fitting_pack(request: HttpRequest, pk: UUID) -> HttpResponseBase:
    """404 while there is none. The answer says whose phone may keep it."""
    pack = Document.objects.current_pack(fitting_of(request, pk).job)
    if pack is None:
        raise Http404
    answer = document_file(pack)
    answer["Sillwright-Person"] = str(person_of(request).pk)
    return answer
