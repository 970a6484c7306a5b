"""A client of the API for one person in one role."""

from typing import Any

from rest_framework.test import APIClient

from jobs.models import Person
from jobs.services.people import issue_token


def signed_in(person: Person, role: str | None = None) -> APIClient:
    """A client that sends a real token for `role`, by default the person's only one."""
    secret, _ = issue_token(person=person, role=role or next(iter(person.held_roles)))
    client = APIClient()
    client.credentials(HTTP_AUTHORIZATION=f"Token {secret}")
    client.default_format = "json"
    return client


def pointers(response: Any) -> list[str]:
    """The fields that a 400 problem document names."""
    assert response.status_code == 400, response.content
    assert response["Content-Type"] == "application/problem+json"
    return [error["pointer"] for error in response.json()["errors"]]
