"""Sending a queue as a test client, and what it is answered."""

from typing import Any

from rest_framework.test import APIClient

PATH = "/api/v1/sync/"


def send(client: APIClient, *operations: dict[str, Any]) -> list[dict[str, Any]]:
    answer = client.post(PATH, {"operations": operations})
    assert answer.status_code == 200, answer.content
    return answer.json()["results"]


def results(client: APIClient, *operations: dict[str, Any]) -> list[str]:
    return [answer["result"] for answer in send(client, *operations)]
