"""A network that cuts, repeats and reorders what a phone sends, by the throw of a die."""

from collections.abc import Callable
from dataclasses import dataclass, field
from random import Random
from typing import Any

Operation = dict[str, Any]
Send = Callable[[list[Operation]], list[dict[str, Any]]]

SETTLED = {"applied", "already_applied", "conflict"}
# So many bad requests in a row happen; then one gets through whole, or a schedule would not end.
LONGEST_STREAK = 6


@dataclass
class BadNetwork:
    """Sends a queue until all of it is answered, and what was delayed on the way after that.

    `requests` counts what reached the service, `operations` all that was in them.
    """

    send: Send
    chance: Random
    requests: int = 0
    operations: int = 0
    _delayed: list[list[Operation]] = field(default_factory=list)
    _answers: dict[str, dict[str, Any]] = field(default_factory=dict)

    def deliver(self, queue: list[Operation]) -> dict[str, dict[str, Any]]:
        """Answer for good of each operation by its id."""
        streak = 0
        while pending := [o for o in queue if o["id"] not in self._answers]:
            bad = streak < LONGEST_STREAK
            streak = streak + 1 if bad and self._attempt(queue, pending) else 0
            if not bad:
                self._hear(self._arrive(pending[:200]))
        while self._delayed:
            self._late_arrival()
        return self._answers

    def _attempt(self, queue: list[Operation], pending: list[Operation]) -> bool:
        """One request with its mishaps. Returns whether its answer was lost."""
        batch = pending[: self.chance.choice((1, 3, 10, 200))]
        if self.chance.random() < 0.3:
            batch = self._muddled(queue, batch)
        fate = self.chance.random()
        if fate < 0.15:
            self._delayed.append(batch)
            return True
        if self._delayed and self.chance.random() < 0.4:
            self._late_arrival()
        if fate < 0.35:
            # The connection breaks while the service works: what it did stays done.
            self._arrive(batch[: self.chance.randint(0, len(batch))])
            return True
        answers = self._arrive(batch)
        if fate < 0.6:
            return True
        self._hear(answers)
        return False

    def _muddled(self, queue: list[Operation], batch: list[Operation]) -> list[Operation]:
        """Out of order, some of it twice, and some of what was answered long ago."""
        again = self.chance.sample(queue, self.chance.randint(0, min(5, len(queue))))
        muddled = [*batch, *again]
        self.chance.shuffle(muddled)
        return muddled

    def _late_arrival(self) -> None:
        self._arrive(self._delayed.pop(self.chance.randrange(len(self._delayed))))

    def _arrive(self, batch: list[Operation]) -> list[dict[str, Any]]:
        if not batch:
            return []
        self.requests += 1
        self.operations += len(batch)
        return self.send(batch)

    def _hear(self, answers: list[dict[str, Any]]) -> None:
        for answer in answers:
            if answer["result"] in SETTLED:
                self._answers.setdefault(answer["id"], answer)
            elif answer["result"] != "waiting":
                raise AssertionError(f"refused: {answer['problem']}")
