"""One line in the log for each request: what was asked for, by whom, and what came of it.

Told are the name of the route and not its address, which may hold a code or a token; the number of
a person and not the name; and the reference of a job, which says nothing about the customer.
"""

import logging
import re
from collections.abc import Callable
from time import perf_counter
from typing import Any
from uuid import uuid4

import structlog
from django.core.signals import got_request_exception
from django.http import HttpRequest
from django.http.response import HttpResponseBase
from structlog.contextvars import bound_contextvars, clear_contextvars

from jobs.models import Person

log = structlog.get_logger("sillwright.request")
JOB_REFERENCE = re.compile(r"SW-\d{2}-\d{4,}")
FAULT = 500


class RequestLogMiddleware:
    """Outside everything that may answer, so that no request goes untold."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponseBase]) -> None:
        self.get_response = get_response
        got_request_exception.connect(_tell_of_fault, dispatch_uid="request line")

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        clear_contextvars()
        began, request_id = perf_counter(), uuid4().hex
        # Bound, so that every line logged meanwhile has it, and so do the tasks asked for.
        with bound_contextvars(request_id=request_id):
            answer = self.get_response(request)
            milliseconds = round(1000 * (perf_counter() - began), 1)
            level = logging.ERROR if answer.status_code >= FAULT else logging.INFO
            facts = _facts(request) | {"status": answer.status_code, "milliseconds": milliseconds}
            log.log(level, "request", **facts)
        answer["X-Request-ID"] = request_id
        return answer


def _facts(request: HttpRequest) -> dict[str, Any]:
    route = request.resolver_match
    facts: dict[str, Any] = {
        "method": request.method,
        "route": (route.view_name or "unnamed") if route else "none",
    }
    if person := _person(request):
        facts["person"] = str(person.pk)
    reference = str(route.kwargs.get("reference", "")) if route else ""
    # Somebody may type anything into an address.
    if JOB_REFERENCE.fullmatch(reference):
        facts["job"] = reference
    return facts


def _person(request: HttpRequest) -> Person | None:
    """Who is signed in, if the request has read that: the log itself runs no query."""
    # Set by a token; else lazy, and kept elsewhere once somebody has looked.
    users = (request.__dict__.get("user"), getattr(request, "_cached_user", None))
    return next((user for user in users if type(user) is Person), None)


def _tell_of_fault(sender: Any, request: HttpRequest, **more: Any) -> None:
    """A fault that no view answered for."""
    log.error("fault", exc_info=True, **_facts(request))
