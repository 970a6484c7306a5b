"""What the API adds: a call of it, the same as a plain view behind the same middleware, and its
statements alone with their rows given as JSON; in turns."""

import json
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cache
from time import perf_counter
from typing import Any

from django.core.handlers.base import BaseHandler
from django.db import connection, transaction
from django.http import HttpRequest, HttpResponse
from django.test import RequestFactory, override_settings
from django.urls import path

from benchmarks.scale import plain_views
from benchmarks.scale.exemplars import Firm
from benchmarks.scale.statements import Statement, noted

TURNS = 100
MILLISECONDS = 1000

View = Callable[[HttpRequest], HttpResponse]
Request = Callable[[], HttpRequest]


@dataclass(frozen=True, slots=True)
class Overhead:
    """Milliseconds at best: what else the machine does only ever adds to them."""

    name: str
    api: float
    plain: float
    statements: float


def overheads(firm: Firm) -> Iterator[Overhead]:
    sent = RequestFactory(headers={"Authorization": f"Token {firm.token_of(firm.office)}"})
    customer = {"name": "Ada Elder", "email": "ada@example.org"}
    calls: dict[str, tuple[View, Request]] = {
        "read a job": (
            plain_views.read_job,
            lambda: sent.get(f"/api/v1/jobs/{firm.certified.reference}/"),
        ),
        "read a list of 50 openings": (
            plain_views.read_openings,
            lambda: sent.get("/api/v1/openings/"),
        ),
        "store a customer": (
            plain_views.store_customer,
            lambda: sent.post("/api/v1/customers/", customer, content_type="application/json"),
        ),
    }
    for name, (plain, request) in calls.items():
        yield Overhead(name, *_in_turns(plain, request))


def _in_turns(plain: View, request: Request) -> list[float]:
    """By the API, by the plain view, by the statements alone; what any stores is taken back."""
    with noted() as statements:
        _answered(_service(), request())
    with noted() as as_plain:
        _answered(_service(), _to(plain, request()))
    _assert_same(statements, as_plain)
    alone = _running(statements)
    ways: tuple[Callable[[], float], ...] = (
        lambda: _answered(_service(), request()),
        lambda: _answered(_service(), _to(plain, request())),
        lambda: _answered(_bare(), _to(alone, request())),
    )
    spent: list[list[float]] = [[] for _ in ways]
    for _ in range(TURNS):
        for way, times in zip(ways, spent, strict=True):
            times.append(way())
    return [min(times) * MILLISECONDS for times in spent]


def _assert_same(of_api: list[Statement], of_plain: list[Statement]) -> None:
    """Savepoints have names of their own."""
    both = [[sql for sql, _ in some if "SAVEPOINT" not in sql] for some in (of_api, of_plain)]
    assert both[0] == both[1], "the plain view no longer does the SQL of the API"


@cache
def _service() -> BaseHandler:
    handler = BaseHandler()
    handler.load_middleware()
    return handler


@cache
def _bare() -> BaseHandler:
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


def _running(statements: list[Statement]) -> View:
    def view(request: HttpRequest) -> HttpResponse:
        rows: list[Any] = []
        with connection.cursor() as cursor:
            for sql, params in statements:
                cursor.execute(sql, params)
                if cursor.description:
                    rows.append(cursor.fetchall())
        return HttpResponse(json.dumps(rows, default=str), content_type="application/json")

    return view


def _to(view: View, request: HttpRequest) -> HttpRequest:
    request.urlconf = (path(request.path[1:], view),)  # type: ignore[assignment]
    return request
