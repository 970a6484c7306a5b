"""Every route of the service, and which of them a row of the tables is about."""

from collections.abc import Iterator
from typing import Any, NamedTuple

from django.test.client import Client
from django.urls import URLPattern, URLResolver, get_resolver, resolve

from tests.permissions.finished_job import FinishedJob
from tests.permissions.who_may import IN, NOT_THERE, NOT_YOUR_ROLE, SIGN_IN, Answers

METHODS = ("GET", "POST", "PUT", "PATCH", "DELETE")
# Past every door: what was asked for, or a complaint about what was sent with it.
PAST_THE_DOOR = {200, 201, 204, 302, 400, 409, 412, 415, 428}
THE_DOOR = {401: SIGN_IN, 403: NOT_YOUR_ROLE, 404: NOT_THERE}
# No record has it, so that nothing is changed by those who are let in.
VERSION_OF_NOTHING = '"0"'


class Row(NamedTuple):
    method: str
    address: str
    expected: Answers

    @classmethod
    def read(cls, name: str, expected: Answers) -> "Row":
        """From its name in a table, such as `GET /jobs/{job}/`."""
        method, address = name.split(" ")
        return cls(method, address, expected)

    def __str__(self) -> str:
        return f"{self.method} {self.address}"

    def route(self, finished: FinishedJob) -> str:
        path = self.address.format_map(finished.parts).partition("?")[0]
        return resolve(path).route


def every_route() -> Iterator[str]:
    """All but the admin's, which are the framework's own."""
    return _routes(get_resolver().url_patterns, "")


def _routes(patterns: list[URLPattern | URLResolver], before: str) -> Iterator[str]:
    for pattern in patterns:
        route = before + str(pattern.pattern).removeprefix("^")
        if isinstance(pattern, URLPattern):
            yield route
        elif pattern.app_name != "admin":
            yield from _routes(pattern.url_patterns, route)


def is_refused_as_method(client: Client, method: str, address: str) -> bool:
    """405, at least once through the door: who is sent on elsewhere has not been let in either."""
    return getattr(client, method.lower())(address).status_code in (302, 403, 405)


def ask(client: Client, method: str, address: str) -> Any:
    """The answer; nothing is sent but an empty body."""
    sent = method != "GET" and address.startswith("/api/")
    body: dict[str, Any] = {"data": {}, "content_type": "application/json"} if sent else {}
    send = getattr(client, method.lower())
    return send(address, headers={"If-Match": VERSION_OF_NOTHING}, **body)


def asked(client: Client, method: str, address: str) -> str:
    """What comes of it, in the words of `who_may`."""
    answer = ask(client, method, address)
    if answer.status_code == 302 and answer["Location"].startswith("/sign-in/"):
        return SIGN_IN
    if answer.status_code in PAST_THE_DOOR:
        return IN
    return THE_DOOR.get(answer.status_code, str(answer.status_code))
