"""The addresses for what watches over the service: a health check, a monitor.

They ask from inside, by number and without TLS, so they are answered before anything looks at the
host, leads to https, or counts; what they may see is theirs to decide.
"""

from collections.abc import Callable

from django.http import HttpRequest, HttpResponse
from django.http.response import HttpResponseBase
from django.utils.cache import add_never_cache_headers

from upkeep.health import alive, ready
from upkeep.metrics import metrics

VIEWS: dict[str, Callable[[HttpRequest], HttpResponse]] = {
    "/health/": alive,
    "/ready/": ready,
    "/metrics/": metrics,
}


class HealthMiddleware:
    """First of all middleware."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponseBase]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        view = VIEWS.get(request.path_info)
        if view is None:
            return self.get_response(request)
        if request.method not in ("GET", "HEAD"):
            return HttpResponse(status=405, headers={"Allow": "GET, HEAD"})
        answer = view(request)
        add_never_cache_headers(answer)
        answer["X-Content-Type-Options"] = "nosniff"
        return answer
