"""What a phone keeps of a fitting to answer by itself where there is no network, as JSON."""

from uuid import UUID

from django.http import HttpRequest, JsonResponse
from django.views.decorators.http import require_GET

from installs.phone.limits import limits_for_phone
from installs.phone.sheet_state import sheet_state
from installs.state import InstallationState
from installs.views.fittings import fitting_of
from jobs.capabilities import Capability
from jobs.views.access import capability_required, person_of


@capability_required(Capability.RECORD_FITTING)
@require_GET
def limits(request: HttpRequest, pk: UUID) -> JsonResponse:
    return JsonResponse(limits_for_phone(person_of(request), fitting_of(request, pk)))


@capability_required(Capability.RECORD_FITTING)
@require_GET
def sheet_state_json(request: HttpRequest, pk: UUID) -> JsonResponse:
    state = InstallationState(fitting_of(request, pk))
    return JsonResponse(sheet_state(person_of(request), state))
