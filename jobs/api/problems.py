"""Every error of the API as a problem document (RFC 9457)."""

import logging
import sys
from collections.abc import Iterator
from typing import Any

from django.core.exceptions import PermissionDenied, RequestDataTooBig
from django.db import InterfaceError, OperationalError
from django.http import Http404, HttpRequest, HttpResponse, JsonResponse
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from rest_framework import exceptions, status
from rest_framework.renderers import JSONRenderer
from rest_framework.response import Response
from rest_framework.views import exception_handler, set_rollback

from jobs.api.problem_types import ProblemType
from jobs.arithmetic.errors import UnusableInput, pointer_to
from jobs.errors import (
    Blocker,
    ClockDisagrees,
    Conflict,
    ContradictsJournal,
    DomainError,
    GateClosed,
    InvalidField,
    StorageFull,
    Unavailable,
    VersionConflict,
)
from jobs.storage import is_full
from jobs.translation import translated

log = logging.getLogger(__name__)

MEDIA_TYPE = "application/problem+json"
# What a client sent comes back in complaints; nobody needs a megabyte of it.
LONGEST_DETAIL = 600
TRY_AGAIN_SECONDS = 10
# Every other refusal is a conflict with what is saved.
TYPES_OF_REFUSALS: dict[type[DomainError], ProblemType] = {
    VersionConflict: ProblemType.VERSION_CONFLICT,
    ContradictsJournal: ProblemType.CONTRADICTS_JOURNAL,
    GateClosed: ProblemType.GATE_CLOSED,
    StorageFull: ProblemType.STORAGE_FULL,
    Unavailable: ProblemType.UNAVAILABLE,
}


class PreconditionRequired(exceptions.APIException):
    """A change without `If-Match` (RFC 6585)."""

    status_code = status.HTTP_428_PRECONDITION_REQUIRED
    default_detail = gettext_lazy('Send the ETag of the record in If-Match, such as If-Match: "3".')


class UnreadableIfMatch(exceptions.APIException):
    status_code = status.HTTP_400_BAD_REQUEST
    default_detail = gettext_lazy('If-Match takes one ETag as the record had it, such as "3".')


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
    problem_type = ProblemType.of_status(response.status_code)
    document = problem(problem_type, _detail(error, response))
    answer = _answer(document)
    for header in ("WWW-Authenticate", "Retry-After"):
        if header in response.headers:
            answer.headers[header] = response.headers[header]
    return answer


def _as_refusal(error: Exception) -> Exception:
    """What is no fault of the service's code is refused, not failed."""
    if isinstance(error, OperationalError | InterfaceError):
        log.error("the database did not answer", exc_info=error)
        return Unavailable(_("The database does not answer. Nothing was saved."))
    if isinstance(error, OSError) and is_full(error):
        # While the body was read, which is kept on the disk until then.
        return StorageFull()
    return error


def _own_document(error: Exception) -> dict[str, Any] | None:
    match error:
        case DomainError():
            return _refusal(error)
        case UnusableInput():
            return invalid([{"pointer": error.pointer, "detail": translated(error.detail)}])
        case exceptions.ValidationError():
            return invalid(list(complaints(error.detail)))
    return None


def problem(problem_type: ProblemType, detail: str, **members: Any) -> dict[str, Any]:
    return {
        "type": problem_type.address,
        "title": str(problem_type.title),
        "status": problem_type.status,
        "detail": detail,
        **members,
    }


def invalid(errors: list[dict[str, str]]) -> dict[str, Any]:
    """A 400 whose `errors` name each field by JSON pointer."""
    lines = (f"{e['pointer']}: {e['detail']}" if e["pointer"] else e["detail"] for e in errors)
    return problem(ProblemType.INVALID_FIELD, "; ".join(lines)[:LONGEST_DETAIL], errors=errors)


def _refusal(error: DomainError) -> dict[str, Any]:
    if isinstance(error, InvalidField):
        document = invalid([{"pointer": error.pointer, "detail": translated(error.detail)}])
        return document | _members(error)
    types = (kind for refusal, kind in TYPES_OF_REFUSALS.items() if isinstance(error, refusal))
    return problem(next(types, ProblemType.CONFLICT), str(error), **_members(error))


def _members(error: DomainError) -> dict[str, Any]:
    """What a problem document holds besides the members that all have."""
    match error:
        case ClockDisagrees():
            return {"server_time": error.server_time}
        case VersionConflict():
            return {"current_version": error.current_version}
        case GateClosed():
            return {
                "gate": error.gate,
                "blockers": [_as_json(blocker) for blocker in error.blockers],
            }
        case Conflict(record=record) if record:
            return {"record": record}
    return {}


def _as_json(blocker: Blocker) -> dict[str, Any]:
    return {
        "code": blocker.code,
        "what": translated(blocker.what),
        "why": translated(blocker.why),
        "record": blocker.record,
        "concedable": blocker.concedable,
        "place": blocker.place,
    }


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
        return _("There is no such record, or you may not see it.")
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
        document = problem(ProblemType.BODY_TOO_LARGE, _("The body is larger than allowed."))
    else:
        detail = _("The request cannot be read.")
        document = problem(ProblemType.UNREADABLE_REQUEST, detail)
    return JsonResponse(document, status=document["status"], content_type=MEDIA_TYPE)


def not_found(request: HttpRequest, exception: Exception) -> HttpResponse:
    """Answer for addresses that no route has."""
    detail = _("There is nothing at this address.")
    if request.path.startswith("/api/"):
        document = problem(ProblemType.NOT_FOUND, detail)
        return JsonResponse(document, status=404, content_type=MEDIA_TYPE)
    return HttpResponse(detail, status=404, content_type="text/plain")


def fault(request: HttpRequest) -> HttpResponse:
    """Answer for faults of the service itself, without anything about its inside."""
    detail = _("Nothing was saved. Please try again.")
    document = problem(ProblemType.INTERNAL_ERROR, detail)
    # Django calls this while the fault is being handled.
    error = sys.exc_info()[1]
    if isinstance(error, Exception):
        refusal = _as_refusal(error)
        if isinstance(refusal, StorageFull | Unavailable):
            document = _refusal(refusal)
    if request.path.startswith("/api/"):
        return JsonResponse(document, status=document["status"], content_type=MEDIA_TYPE)
    return HttpResponse(document["detail"], status=document["status"], content_type="text/plain")
