"""A way for the demo's client to the service without a network, on which every answer is held
against the API's description."""

import urllib.request
from collections.abc import Callable
from contextlib import AbstractContextManager
from http.client import HTTPMessage
from io import BytesIO
from typing import Any
from urllib.response import addinfourl

from schemathesis.specs.openapi.schemas import OpenApiSchema
from werkzeug.test import Client, TestResponse

from config.wsgi import application


class InProcess(urllib.request.BaseHandler):
    """`committing` is entered around each request: what waits for a commit is done at its end."""

    handler_order = 100  # before the handler that would open a socket

    def __init__(
        self, description: OpenApiSchema, committing: Callable[[], AbstractContextManager[Any]]
    ) -> None:
        self.description, self.committing = description, committing
        self.server = Client(application)
        self.answered: set[tuple[str, int]] = set()

    def http_open(self, request: urllib.request.Request) -> addinfourl:
        with self.committing():
            answer = self.server.open(
                request.selector,
                method=request.get_method(),
                data=request.data,
                headers=request.header_items(),
            )
        self._compare(request.get_method(), request.selector, answer)
        return _as_of_urllib(answer, request.full_url)

    def _compare(self, method: str, address: str, answer: TestResponse) -> None:
        path = address.partition("?")[0]
        operation = self.description.find_operation_by_path(method, path)
        assert operation, f"{method} {path} is not described"
        described = operation.responses.status_codes
        assert str(answer.status_code) in described, f"{operation.label}: {answer.status}"
        operation.validate_response(answer)
        self.answered.add((operation.label, answer.status_code))


def _as_of_urllib(answer: TestResponse, address: str) -> addinfourl:
    headers = HTTPMessage()
    for name, value in answer.headers:
        headers[name] = value
    opened = addinfourl(BytesIO(answer.data), headers, address, answer.status_code)
    opened.msg = answer.status  # type: ignore[attr-defined]
    return opened
