"""A fitter's phone: it notes what is done at once, sends it when it can, and asks when it must."""

from collections import Counter
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any
from uuid import uuid4

from fixtures_demo.client import Client, Refused
from fixtures_demo.queue.store import Kept, Store

# As many as the service takes in one request.
MOST_OPERATIONS = 200


@dataclass(frozen=True)
class Sent:
    """How often each result came, by its name."""

    results: dict[str, int]

    @property
    def all_done(self) -> bool:
        return not self.results.keys() - {"applied", "already_applied"}


class Phone:
    """The queue of the person whom `client` is signed in as."""

    def __init__(self, store: Store, client: Client) -> None:
        self.store, self.client = store, client

    def add(self, kind: str, /, record: str = "", **body: Any) -> dict[str, Any]:
        """Note that a record was made just now; it gets an identity of its own."""
        return self._append(kind, record or str(uuid4()), None, body)

    def change(self, kind: str, record: str, version: int, /, **body: Any) -> dict[str, Any]:
        """Note that a record was changed just now, from the version that is known here: the last
        one that was read, and one more for every change of it that is queued."""
        return self._append(kind, record, version, body)

    def send(self) -> Sent:
        """Send what is queued, in its order, as far as it goes.

        What was refused goes again, as a gate may have opened since. Raises `OSError` where there
        is no network and `Refused` where the service takes no queue just now; nothing is lost.
        """
        counts: Counter[str] = Counter()
        while batch := [kept.operation for kept in self.store.all("queued")][:MOST_OPERATIONS]:
            results = self._send(batch)
            self.store.hear(results)
            counts.update(result["result"] for result in results)
            if {"waiting", "refused"} & {result["result"] for result in results}:
                break
        return Sent(dict(counts))

    @property
    def to_decide(self) -> list[Kept]:
        """What was refused or is in conflict: a person drops or mends it."""
        waiting = self.store.all("queued", "conflict")
        return [kept for kept in waiting if kept.is_refused or kept.state == "conflict"]

    def drop(self, identifier: str) -> None:
        """Leave the records as they are. Raises `InDoubt` for what may be done already."""
        if self.store.one(identifier).state == "conflict":
            self.store.decide(identifier)
        else:
            self.store.remove(identifier)

    def correct(self, identifier: str, /, **body: Any) -> None:
        """Do it with another body: a refused operation in its place in the queue, a change that is
        in conflict once more, based on what the other person made of the record.

        Raises `InDoubt` for what may be done already, `ValueError` for a creation in conflict:
        the record is there, and to change it is an operation of another kind.
        """
        kept = self.store.one(identifier)
        operation = kept.operation
        if kept.state != "conflict":
            self.store.rewrite(identifier, body)
            return
        if operation["base_version"] is None or kept.answer is None:
            raise ValueError(f"{operation['record']} is recorded already; change that record")
        version = kept.answer["version"]
        self._append(operation["kind"], operation["record"], version, body, decides=identifier)

    def _append(
        self,
        kind: str,
        record: str,
        base_version: int | None,
        body: dict[str, Any],
        decides: str = "",
    ) -> dict[str, Any]:
        operation = {
            "id": str(uuid4()),
            "kind": kind,
            "record": record,
            "base_version": base_version,
            "made_at": datetime.now(tz=UTC).isoformat(),
            "body": body,
        }
        return self.store.append(operation, decides=decides)

    def _send(self, batch: list[dict[str, Any]]) -> list[dict[str, Any]]:
        self.store.note_sending([operation["id"] for operation in batch])
        try:
            return self.client.send("POST", "sync/", {"operations": batch}).body["results"]
        except Refused as refusal:
            if unusable := _unusable(batch, refusal):
                return unusable
            raise


def _unusable(batch: list[dict[str, Any]], refusal: Refused) -> list[dict[str, Any]]:
    """Answers for operations that are none, by the pointers of the problem, for whose sake all
    were sent back: they were never done, nor was anything that comes after the first of them."""
    parts_of = [pointer.split("/") for pointer in refusal.pointers]
    numbers = {int(parts[2]) for parts in parts_of if parts[1:2] == ["operations"] and parts[2:]}
    answers = []
    for number in range(min(numbers, default=len(batch)), len(batch)):
        result = "refused" if number in numbers else "waiting"
        answers.append({"id": batch[number]["id"], "result": result, "problem": refusal.problem})
    return answers
