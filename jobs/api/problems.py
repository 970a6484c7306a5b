"""Every error of the API as a problem document (RFC 9457)."""

import logging
import sys
from collections.abc import Iterator
from typing import Any

from django.core.exceptions import PermissionDenied, RequestDataTooBig
from django.db import InterfaceError, OperationalError
from django.http import Http404, HttpRequest, HttpResponse, JsonResponse
from rest_framework import exceptions, status
from rest_framework.renderers import JSONRenderer
from rest_framework.response import Response
from rest_framework.views import exception_handler, set_rollback

from jobs.arithmetic.errors import UnusableInput, pointer_to
from jobs.errors import (
    Conflict,
    DomainError,
    GateClosed,
    InvalidField,
    StorageFull,
    Unavailable,
    VersionConflict,
)
from jobs.storage import is_full

log = logging.getLogger(__name__)

MEDIA_TYPE = "application/problem+json"
# What a client sent comes back in complaints; nobody needs a megabyte of it.
LONGEST_DETAIL = 600
TRY_AGAIN_SECONDS = 10


class PreconditionRequired(exceptions.APIException):
    """A change without `If-Match` (RFC 6585)."""

    status_code = status.HTTP_428_PRECONDITION_REQUIRED
    default_detail = 'Send the record\'s ETag in If-Match, for example If-Match: "3".'


class UnreadableIfMatch(exceptions.APIException):
    status_code = status.HTTP_400_BAD_REQUEST
    default_detail = 'If-Match holds one entity tag as the record\'s ETag gave it, such as "3".'


class ProblemResponse(Response):
    """Always JSON, in whatever form the answer itself was asked for."""

    @property
    def rendered_content(self) -> str:
        self["Content-Type"] = MEDIA_TYPE
        return str(JSONRenderer().render(self.data), "utf-8")


def problem_response(error: Exception, context: dict[str, Any]) -> Response | None:
    """DRF's exception handler: domain refusals and DRF's own errors; None leaves a 500."""
    document = _own_document(_as_refusal(error))
    if document:
        set_rollback()
        return _answer(document)
    response = exception_handler(error, context)
    if response is None:
        return None
    document = problem(response.status_code, _detail(error, response))
    answer = _answer(document)
    for header in ("WWW-Authenticate", "Retry-After"):
        if header in response.headers:
            answer.headers[header] = response.headers[header]
    return answer


def _as_refusal(error: Exception) -> Exception:
    """What is no fault of the service's code is refused, not failed."""
    if isinstance(error, OperationalError | InterfaceError):
        log.error("the database did not answer", exc_info=error)
        return Unavailable("The database does not answer. Nothing of this was stored.")
    if isinstance(error, OSError) and is_full(error):
        # While the body was read, which is kept on the disk until then.
        return StorageFull()
    return error


def _own_document(error: Exception) -> dict[str, Any] | None:
    match error:
        case DomainError():
            return _refusal(error)
        case UnusableInput():
            return invalid([{"pointer": error.pointer, "detail": error.detail}])
        case exceptions.ValidationError():
            return invalid(list(complaints(error.detail)))
    return None


def problem(status_code: int, detail: str, **members: Any) -> dict[str, Any]:
    titles = {
        400: "The request cannot be used",
        401: "Sign in first",
        403: "Not allowed for this role",
        404: "Not found",
        405: "Not allowed here",
        406: "No answer in that form",
        409: "It contradicts what is stored",
        412: "Changed meanwhile",
        413: "Too large",
        415: "Not a form that is read here",
        428: "Say which version you change",
        429: "Too many requests",
        500: "A fault of the service",
        503: "Not at the moment",
        507: "No room left",
    }
    return {
        "type": "about:blank",
        "title": titles.get(status_code, "Refused"),
        "status": status_code,
        "detail": detail,
        **members,
    }


def invalid(errors: list[dict[str, str]]) -> dict[str, Any]:
    """A 400 whose `errors` name each field by JSON pointer."""
    told = (f"{e['pointer']}: {e['detail']}" if e["pointer"] else e["detail"] for e in errors)
    return problem(400, "; ".join(told)[:LONGEST_DETAIL], errors=errors)


def _refusal(error: DomainError) -> dict[str, Any]:
    match error:
        case InvalidField():
            return invalid([{"pointer": error.pointer, "detail": error.detail}])
        case VersionConflict():
            return problem(412, str(error), current_version=error.current_version)
        case GateClosed():
            blockers = [
                {
                    "code": b.code,
                    "what": b.what,
                    "why": b.why,
                    "record": b.record,
                    "concedable": b.concedable,
                }
                for b in error.blockers
            ]
            return problem(409, str(error), gate=error.gate, blockers=blockers)
        case StorageFull() | Unavailable():
            return problem(507 if isinstance(error, StorageFull) else 503, str(error))
        case Conflict():
            return problem(409, error.detail, **({"record": error.record} if error.record else {}))
    return problem(409, str(error))


def complaints(detail: Any, pointer: str = "") -> Iterator[dict[str, str]]:
    """Flatten DRF's nested error details into pointers; list errors count from 0."""
    if isinstance(detail, dict):
        for name, inner in detail.items():
            own = name in ("non_field_errors", "__all__")
            yield from complaints(inner, pointer if own else pointer + pointer_to(str(name)))
    elif isinstance(detail, list) and any(isinstance(d, dict | list) for d in detail):
        for index, inner in enumerate(detail):
            if inner:
                yield from complaints(inner, f"{pointer}/{index}")
    elif isinstance(detail, list):
        for inner in detail:
            yield {"pointer": pointer, "detail": str(inner)[:LONGEST_DETAIL]}
    else:
        yield {"pointer": pointer, "detail": str(detail)[:LONGEST_DETAIL]}


def _detail(error: Exception, response: Response) -> str:
    if isinstance(error, Http404 | PermissionDenied):
        return "There is no such record, or it is not yours to see."
    detail = response.data.get("detail") if isinstance(response.data, dict) else response.data
    return str(detail)


def _answer(document: dict[str, Any]) -> Response:
    answer = ProblemResponse(document, status=document["status"])
    if document["status"] == status.HTTP_503_SERVICE_UNAVAILABLE:
        answer.headers["Retry-After"] = str(TRY_AGAIN_SECONDS)
    return answer


def unreadable(request: HttpRequest, exception: Exception) -> HttpResponse:
    """Answer for what never reaches a view, such as a body that is too large."""
    if isinstance(exception, RequestDataTooBig):
        document = problem(413, "The body is larger than is read here.")
    else:
        document = problem(400, "The request cannot be read.")
    return JsonResponse(document, status=document["status"], content_type=MEDIA_TYPE)


def not_found(request: HttpRequest, exception: Exception) -> HttpResponse:
    """Answer for addresses that no route knows."""
    if request.path.startswith("/api/"):
        document = problem(404, "There is nothing at this address.")
        return JsonResponse(document, status=404, content_type=MEDIA_TYPE)
    return HttpResponse("There is nothing at this address.", status=404, content_type="text/plain")


def fault(request: HttpRequest) -> HttpResponse:
    """Answer for faults of the service itself: nothing inside is told."""
    document = problem(500, "Nothing of this request was stored. Please try again.")
    # Django calls this while the fault is being handled.
    error = sys.exc_info()[1]
    if isinstance(error, Exception):
        refusal = _as_refusal(error)
        if isinstance(refusal, StorageFull | Unavailable):
            document = _refusal(refusal)
    if request.path.startswith("/api/"):
        return JsonResponse(document, status=document["status"], content_type=MEDIA_TYPE)
    return HttpResponse(document["detail"], status=document["status"], content_type="text/plain")
