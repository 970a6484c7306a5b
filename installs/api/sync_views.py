"""The endpoint that a fitter's phone sends its queue to."""

from dataclasses import asdict
from datetime import timedelta
from typing import Any, ClassVar, cast

from drf_spectacular.utils import extend_schema
from rest_framework import viewsets
from rest_framework.request import Request
from rest_framework.response import Response

from installs.api.operation_handler import ApiOperationHandler
from installs.api.sync_serializers import EXAMPLES, SyncResponseSerializer, SyncSerializer
from installs.services.sync import SentOperation, apply_operation
from jobs.api.problems import problem_response
from jobs.api.viewsets import HasCapability
from jobs.capabilities import Capability
from jobs.idempotency import IdempotencyKey
from jobs.models import Person
from jobs.services.phone_clock import PhoneTime

DONE = ("applied", "already_applied")

# What orders the queue is found out when an operation is put into it, and says nothing of the site.
NOT_SIGNED = ("after", "also_after", "jws")


class SyncViewSet(viewsets.ViewSet):
    """The queue: what was done on site without a network, sent when there is one."""

    permission_classes = (HasCapability,)
    required_capabilities: ClassVar = {"create": Capability.MEASURE}

    @extend_schema(
        request=SyncSerializer, responses={200: SyncResponseSerializer}, examples=EXAMPLES
    )
    def create(self, request: Request) -> Response:
        """Send operations, in the order in which they were done.

        Each is done on its own, exactly as the endpoint of its record would do it, and answered:

        - `applied`, or `already_applied` when it comes again: any repeat is harmless;
        - `conflict`: the record was changed, or made otherwise, since the phone knew it. Nothing
          of the operation is stored; `yours` and `theirs` are for a person to decide between;
        - `set_aside`: it is kept as it is for the office instead of being recorded, and what
          depends on it goes on; `set_aside_because` says why. It was refused before and says so
          itself, or it was read with an instrument that was out of calibration at that time, or
          cannot show the limits: read again with another one;
        - `waiting`: an operation that it names in `after` or `also_after` has been neither applied
          nor in conflict yet;
        - `refused`: with the problem document that the endpoint gives. Nothing is stored, and it
          may come again, mended or not, such as once a hold point is released. So is a kind that
          the service does not know, since the client is older or newer.

        What is on record with the same content already is `already_applied`, under another id, too.

        A `made_at` more than 10 minutes ahead of the service's clock or 90 days behind it is
        refused, and so is everything where `sent_at` is more than 10 minutes off; the problem has
        the `server_time`. `clock_offset_s` puts such a clock right: both times are kept.
        """
        body = SyncSerializer(data=request.data)
        body.is_valid(raise_exception=True)
        given = cast(dict[str, Any], request.data)["operations"]
        sent = zip(body.validated_data["operations"], given, strict=True)
        clock = {
            "sent_at": body.validated_data.get("sent_at"),
            "clock_offset": timedelta(seconds=body.validated_data.get("clock_offset_s", 0)),
        }
        return Response({"results": [_result(request, read | clock, raw) for read, raw in sent]})


def _result(request: Request, read: dict[str, Any], raw: dict[str, Any]) -> dict[str, Any]:
    result = {"id": read["id"], "result": "refused", "record": read["record"], "version": None}
    result |= {"yours": None, "theirs": None, "waiting_for": None, "problem": None}
    result |= {"verdict": None, "set_aside_because": "", "signed_by": None}
    operation, handler = _sent(request, read, raw)
    try:
        answer = apply_operation(
            actor=cast(Person, request.user), operation=operation, handler=handler
        )
    except Exception as error:
        problem = _problem(error)
        if problem is None:
            raise
        return result | {"problem": problem}
    result |= {"result": answer.result, "version": answer.version or None}
    result |= {"set_aside_because": answer.because, "signed_by": answer.signed_by}
    if answer.result == "conflict":
        result |= {"yours": raw["body"], "theirs": answer.server_record}
    if answer.result in DONE and (verdict := handler.verdict()):
        result["verdict"] = asdict(verdict)
    if answer.result == "waiting":
        result["waiting_for"] = answer.waiting_for
    return result


def _sent(
    request: Request, read: dict[str, Any], raw: dict[str, Any]
) -> tuple[SentOperation, ApiOperationHandler]:
    of_time = ("made_at", "sent_at", "clock_offset")
    envelope = {name: value for name, value in read.items() if name not in (*of_time, "body")}
    envelope["also_after"] = tuple(envelope.get("also_after", ()))
    envelope["time"] = PhoneTime(**{name: read[name] for name in of_time})
    # It is the same operation, set aside or not, signed or not.
    same = {name: value for name, value in raw.items() if name not in ("set_aside_because", "jws")}
    said = {name: value for name, value in raw.items() if name not in NOT_SIGNED}
    digest = IdempotencyKey.of(read["id"], same).digest
    operation = SentOperation(**envelope, digest=digest, said=said)
    return operation, ApiOperationHandler(request, operation, raw["body"])


def _problem(error: Exception) -> dict[str, Any] | None:
    """The problem document of what the service refuses; None for a fault of its own."""
    response = problem_response(error, {})
    return None if response is None else response.data
