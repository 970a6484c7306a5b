"""A fitter's phone: it notes what is done at once, sends it when it can, and asks when it must."""

from collections import Counter
from collections.abc import Collection
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any
from uuid import uuid4

from fixtures_demo.client import Client, Refused
from fixtures_demo.queue.store import Kept, Store

# As many as the service takes in one request.
MOST_OPERATIONS = 200
DONE = {"applied", "already_applied", "set_aside"}
# What passes between two answers is no correction of the clock.
SMALLEST_OFFSET_S = 60


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
        # What has to be added to this phone's clock; 0 until the service disagrees with it.
        self.clock_offset_s = 0

    def add(
        self, kind: str, /, record: str = "", follows: Collection[str] = (), **body: Any
    ) -> dict[str, Any]:
        """Note that a record was made just now; it gets an identity of its own. What was queued of
        the kinds in `follows` is done before it."""
        return self._append(kind, record or str(uuid4()), None, body, follows=follows)

    def change(self, kind: str, record: str, version: int, /, **body: Any) -> dict[str, Any]:
        """Note that a record was changed just now, from the version that is known here: the last
        one that was read, and one more for every change of it that is queued."""
        return self._append(kind, record, version, body)

    def send(self) -> Sent:
        """Send what is queued, in its order. What is refused stops only what depends on it.

        What was refused goes again as long as anything else is done, as a gate may have opened by
        that. Raises `OSError` where there is no network and `Refused` where the service takes no
        queue just now; nothing is lost.
        """
        results: dict[str, str] = {}
        while queued := [kept.operation for kept in self.store.all("queued")]:
            answers = self._send_once(queued)
            results |= {answer["id"]: answer["result"] for answer in answers}
            done = any(answer["result"] in DONE for answer in answers)
            if not done and not self._clock_was_corrected(answers):
                break
        return Sent(Counter(results.values()))

    def _send_once(self, queued: list[dict[str, Any]]) -> list[dict[str, Any]]:
        answers = []
        for first in range(0, len(queued), MOST_OPERATIONS):
            heard = self._send(queued[first : first + MOST_OPERATIONS])
            self.store.hear(heard)
            answers += heard
        return answers

    def _clock_was_corrected(self, answers: list[dict[str, Any]]) -> bool:
        """Whether the service told a time that this phone did not know of."""
        problems = [answer["problem"] or {} for answer in answers]
        times = [problem["server_time"] for problem in problems if "server_time" in problem]
        if not times:
            return False
        before = self.clock_offset_s
        self.clock_offset_s = round(
            (datetime.fromisoformat(times[-1]) - self.now()).total_seconds()
        )
        return abs(self.clock_offset_s - before) > SMALLEST_OFFSET_S

    def now(self) -> datetime:
        """By this phone's clock."""
        return datetime.now(tz=UTC)

    @property
    def to_decide(self) -> list[Kept]:
        """What was refused or is in conflict: a person sets it aside or mends it."""
        waiting = self.store.all("queued", "conflict")
        return [kept for kept in waiting if kept.is_refused or kept.state == "conflict"]

    def leave(self, identifier: str) -> None:
        """Leave a record that is in conflict as the other person made it."""
        self.store.decide(identifier)

    def set_aside(self, identifier: str) -> None:
        """Keep what was refused as it is, here and at the service, with the reason."""
        answer = self.store.one(identifier).answer or {}
        reason = answer.get("problem", {}).get("detail") or "set aside before it was sent"
        self.store.set_aside(identifier, reason[:500])

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
        *,
        follows: Collection[str] = (),
        decides: str = "",
    ) -> dict[str, Any]:
        operation = {
            "id": str(uuid4()),
            "kind": kind,
            "record": record,
            "base_version": base_version,
            "made_at": self.now().isoformat(),
            "body": body,
        }
        return self.store.append(operation, follows=follows, decides=decides)

    def _send(self, batch: list[dict[str, Any]]) -> list[dict[str, Any]]:
        """Answers for all of them. What is no operation at all is left out and refused here, since
        for its sake all were sent back."""
        self.store.note_sending([operation["id"] for operation in batch])
        answers: list[dict[str, Any]] = []
        while batch:
            body: dict[str, Any] = {"operations": batch, "sent_at": self.now().isoformat()}
            if self.clock_offset_s:
                body["clock_offset_s"] = self.clock_offset_s
            try:
                return answers + self.client.send("POST", "sync/", body).body["results"]
            except Refused as refusal:
                unusable = _unusable(batch, refusal)
                if not unusable:
                    raise
            answers += unusable
            left_out = {answer["id"] for answer in unusable}
            batch = [operation for operation in batch if operation["id"] not in left_out]
        return answers


def _unusable(batch: list[dict[str, Any]], refusal: Refused) -> list[dict[str, Any]]:
    """Answers for operations that are none, by the pointers of the problem."""
    parts_of = [pointer.split("/") for pointer in refusal.pointers]
    numbers = {int(parts[2]) for parts in parts_of if parts[1:2] == ["operations"] and parts[2:]}
    return [
        {
            "id": batch[number]["id"],
            # What the service cannot even keep is kept here.
            "result": "set_aside" if "set_aside_because" in batch[number] else "refused",
            "problem": refusal.problem,
        }
        for number in sorted(numbers)
    ]
