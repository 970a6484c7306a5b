"""What the API does, as one writes it in Django without a framework for APIs: plain functions with
the same records, the same service, the same answer. Nothing of it is checked beyond the token."""

import json
from secrets import compare_digest
from typing import Any

from django.http import Http404, HttpRequest, HttpResponse, JsonResponse
from django.views.decorators.csrf import csrf_exempt
from knox.crypto import hash_token
from knox.settings import CONSTANTS

from jobs.capabilities import Capability, capabilities_of
from jobs.idempotency import IdempotencyKey, create_idempotently
from jobs.models import Customer, Job, Opening, Person, Token
from jobs.services.jobs import add_customer

ON_A_PAGE = 50
OF_EVERY_RECORD = ("id", "version", "created_at", "updated_at")
SHOWN: dict[type, tuple[str, ...]] = {
    Job: (*OF_EVERY_RECORD, "reference", "customer_id", "site_id", "title", "rule_set_id"),
    Opening: (*OF_EVERY_RECORD, "job_id", "number", "name"),
    Customer: (*OF_EVERY_RECORD, "name", "email", "telephone", "erased_at"),
}


def read_job(request: HttpRequest) -> HttpResponse:
    _office_of(request)
    reference = request.path.rstrip("/").rpartition("/")[2]
    return JsonResponse(_shown(Job.objects.get(reference=reference)))


def read_openings(request: HttpRequest) -> HttpResponse:
    _office_of(request)
    newest = Opening.objects.order_by("-created_at", "-id")[: ON_A_PAGE + 1]
    return JsonResponse({"results": [_shown(opening) for opening in list(newest)[:ON_A_PAGE]]})


@csrf_exempt
def store_customer(request: HttpRequest) -> HttpResponse:
    person = _office_of(request)
    given = json.loads(request.body)
    idempotency_key = IdempotencyKey.of(None, given)
    customer, _ = create_idempotently(
        Customer,
        idempotency_key,
        lambda: add_customer(actor=person, idempotency_key=idempotency_key, **given),
    )
    return JsonResponse(_shown(customer), status=201)


def _office_of(request: HttpRequest) -> Person:
    secret = request.headers["Authorization"].removeprefix("Token ")
    known = Token.objects.filter(token_key=secret[: CONSTANTS.TOKEN_KEY_LENGTH])
    for token in known.select_related("user"):
        sees_all = Capability.SEE_EVERY_JOB in capabilities_of([token.role])
        if sees_all and compare_digest(hash_token(secret), token.digest):
            return token.user
    raise Http404


def _shown(record: Any) -> dict[str, Any]:
    return {name: getattr(record, name) for name in SHOWN[type(record)]}
