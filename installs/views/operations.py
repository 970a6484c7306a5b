"""What a page records, done as the queue of a phone does it: same bodies, services and refusals.

So whatever was posted from a page and is sent again by the queue, under the same identity, is
stored once.
"""

from typing import Any, cast
from uuid import UUID, uuid4

from django.http import HttpRequest
from django.utils import timezone
from rest_framework.request import Request

from installs.api.operations import operation_handler
from installs.services.sync import Operation
from jobs.models import Record


def perform(
    request: HttpRequest,
    *,
    kind: str,
    record: UUID,
    base_version: int | None,
    body: dict[str, Any],
) -> Record:
    """Do one operation of `sync_kinds.KINDS` for the person of this request, now.

    Raises what its endpoint would answer: refusals of services and DRF's complaints of the body.
    """
    operation = Operation(
        id=uuid4(),
        kind=kind,
        record=record,
        base_version=base_version,
        after=None,
        made_at=timezone.now(),
        digest="",
    )
    done, _ = operation_handler(cast(Request, request), operation, body).do()
    return done


def nested(flat: dict[str, Any]) -> dict[str, Any]:
    """The body that names with dots stand for: `{"readings.0.value": 2}` is
    `{"readings": [{"value": 2}]}`. A number in a name counts the entries of a list."""
    tree: dict[str, Any] = {}
    for name, value in flat.items():
        *way, last = name.split(".")
        branch = tree
        for part in way:
            branch = branch.setdefault(part, {})
        branch[last] = value
    return cast(dict[str, Any], _with_lists(tree))


def _with_lists(tree: Any) -> Any:
    if not isinstance(tree, dict):
        return tree
    if tree and all(name.isdecimal() for name in tree):
        return [_with_lists(tree[name]) for name in sorted(tree, key=int)]
    return {name: _with_lists(inner) for name, inner in tree.items()}
