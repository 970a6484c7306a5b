"""A day of fitting as it really goes: left out, done twice, in another order, read otherwise."""

from collections.abc import Iterator
from copy import deepcopy
from datetime import UTC, datetime, timedelta
from random import Random
from typing import Any
from uuid import UUID

from tests.installs.queue_session import Operation

# How far readings are off their limits, mm.
SPREAD = 2.0
FURTHEST_MOVED = 12


def muddled(operations: list[Operation], chance: Random) -> list[Operation]:
    """These operations with mishaps, each a minute after the other until now; none of them waits
    for another, so that more is refused."""
    done = [_otherwise(operation, chance) for operation in operations if chance.random() > 0.06]
    done += [_once_more(operation, chance) for operation in done if chance.random() < 0.06]
    for _ in range(len(done) // 5):
        place = chance.randrange(len(done))
        moved = done.pop(place)
        done.insert(max(0, place + chance.randint(-FURTHEST_MOVED, FURTHEST_MOVED)), moved)
    return [one | {"made_at": _minutes_ago(len(done) - n)} for n, one in enumerate(done)]


def _minutes_ago(minutes: int) -> str:
    return (datetime.now(UTC) - timedelta(minutes=minutes)).isoformat()


def _once_more(operation: Operation, chance: Random) -> Operation:
    """Another record that says the same, or nearly so."""
    identity = {
        name: str(UUID(int=chance.getrandbits(128), version=4)) for name in ("id", "record")
    }
    if operation["base_version"] is not None:
        identity.pop("record")
    return _otherwise(operation | identity, chance)


def _otherwise(operation: Operation, chance: Random) -> Operation:
    body = deepcopy(operation["body"])
    for _ in _mishaps(body, chance):
        pass
    return operation | {"body": body, "after": None, "also_after": []}


def _mishaps(body: dict[str, Any], chance: Random) -> Iterator[None]:
    if chance.random() < 0.3 and body.get("readings"):
        reading = chance.choice(body["readings"])
        reading["value"] = round(reading["value"] + chance.gauss(0, SPREAD), chance.choice((0, 1)))
        yield
    if chance.random() < 0.3 and "head_gap" in body:
        body["head_gap"] = round(abs(body["head_gap"] + chance.gauss(0, 1)), 1)
        yield
    if chance.random() < 0.15 and body.get("checks"):
        body["checks"][chance.choice(list(body["checks"]))] = False
        body["note"] = "One of them is not in order."
        yield
    if chance.random() < 0.1 and body.get("acknowledged"):
        body |= {"acknowledged": False, "note": "It is not in order."}
        yield
    if chance.random() < 0.15 and body.get("kind") == "frame_screw":
        body["position"] = max(0, body["position"] + chance.choice((-400, -150, -10, 10, 150, 400)))
        body["kind"] = chance.choice(("frame_screw", "strap", "foam_only"))
        yield
    if chance.random() < 0.4 and "glass_marking" in body:
        body["glass_marking"] = chance.choice(("1(C)2 1(C)2", "1(C)2", "3(A)3, 3(A)3", "no mark"))
        yield
    if chance.random() < 0.3 and "blocks_set" in body:
        body |= {"rising_diagonal": 2100, "falling_diagonal": 2100 + chance.choice((0, 1, 2, 3, 9))}
        yield
