"""Where the office needs a second factor, it sees nothing else before one is set up."""

from collections.abc import Callable
from typing import Any

from django.http import HttpRequest, HttpResponse, JsonResponse
from django.http.response import HttpResponseBase
from django.urls import reverse
from django.utils.translation import gettext as _

from jobs.api.problem_types import ProblemType
from jobs.api.problems import MEDIA_TYPE, problem
from jobs.services.second_factor import owes_second_factor
from jobs.views.access import lead_to

# What whoever still has to enrol may open: enrolling, leaving, and what is for everybody.
OPEN = frozenset(
    {
        "second-factor",
        "second-factor-begin",
        "second-factor-enrol",
        "sign-in",
        "sign-in-code",
        "sign-out",
        "verify",
        "customer-handover",
        "customer-certificate",
        "linked-document",
        "problem-types",
    }
)


class RequireSecondFactorMiddleware:
    """Pages redirect to enrolling, the API refuses; a token was issued for a code."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponseBase]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        return self.get_response(request)

    def process_view(
        self, request: HttpRequest, view: Any, arguments: Any, named: Any
    ) -> HttpResponse | None:
        matched = request.resolver_match
        if matched is None or matched.url_name in OPEN:
            return None
        if not request.user.is_authenticated or not owes_second_factor(request.user):
            return None
        if request.path.startswith("/api/"):
            detail = _("Set up a second factor first, on the page “Signing in”.")
            document = problem(ProblemType.SECOND_FACTOR_REQUIRED, detail)
            return JsonResponse(document, status=403, content_type=MEDIA_TYPE)
        return lead_to(request, reverse("second-factor"))
