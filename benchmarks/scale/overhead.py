"""What the API adds to its SQL: a call of it, and a view without anything that runs the same
statements and gives their rows as JSON, in turns."""

import json
from collections.abc import Callable, Iterator
from functools import cache
from time import perf_counter

from django.core.handlers.base import BaseHandler
from django.db import connection, transaction
from django.http import HttpRequest, HttpResponse
from django.test import RequestFactory, override_settings
from django.urls import path

from benchmarks.scale.exemplars import Firm
from benchmarks.scale.statements import Statement, noted

TURNS = 60
MILLISECONDS = 1000


def overheads(firm: Firm) -> Iterator[tuple[str, float, float]]:
    """Name, milliseconds of the API's call and of the bare view, each at best."""
    sent = RequestFactory(headers={"Authorization": f"Token {firm.token_of(firm.office)}"})
    customer = {"name": "Ada Elder", "email": "ada@example.org"}
    requests = {
        "read a job": lambda: sent.get(f"/api/v1/jobs/{firm.certified.reference}/"),
        "read a list of 50 openings": lambda: sent.get("/api/v1/openings/"),
        "store a customer": lambda: sent.post(
            "/api/v1/customers/", customer, content_type="application/json"
        ),
    }
    for name, request in requests.items():
        yield name, *_in_turns(request)


def _in_turns(request: Callable[[], HttpRequest]) -> tuple[float, float]:
    """The same request to the service and to the bare view; what either stores is taken back."""
    with noted() as statements:
        _answered(_service(), request())
    ways = (
        lambda: _answered(_service(), request()),
        lambda: _answered(_alone(), _to(_bare(statements), request())),
    )
    spent: tuple[list[float], list[float]] = ([], [])
    for _ in range(TURNS):
        for way, times in zip(ways, spent, strict=True):
            times.append(way())
    return min(spent[0]) * MILLISECONDS, min(spent[1]) * MILLISECONDS


@cache
def _service() -> BaseHandler:
    handler = BaseHandler()
    handler.load_middleware()
    return handler


@cache
def _alone() -> BaseHandler:
    """Without any of the service's middleware."""
    handler = BaseHandler()
    with override_settings(MIDDLEWARE=[]):
        handler.load_middleware()
    return handler


def _answered(handler: BaseHandler, request: HttpRequest) -> float:
    """Seconds until the answer is there; nothing of it is kept."""
    with transaction.atomic():
        begun = perf_counter()
        answer = handler.get_response(request)
        spent = perf_counter() - begun
        assert answer.status_code in (200, 201), f"{request.path}: {answer.status_code}"
        transaction.set_rollback(True)
    return spent


def _bare(statements: list[Statement]) -> Callable[[HttpRequest], HttpResponse]:
    def view(request: HttpRequest) -> HttpResponse:
        rows = []
        with connection.cursor() as cursor:
            for sql, params in statements:
                cursor.execute(sql, params)
                if cursor.description:
                    rows.append(cursor.fetchall())
        return HttpResponse(json.dumps(rows, default=str), content_type="application/json")

    return view


def _to(view: Callable[[HttpRequest], HttpResponse], request: HttpRequest) -> HttpRequest:
    request.urlconf = (path(request.path[1:], view),)  # type: ignore[assignment]
    return request
