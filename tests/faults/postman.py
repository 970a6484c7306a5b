"""A mail server that refuses at random, in every way that servers do, and counts what it takes.

It takes its time before it decides and before it says so, as servers do: a client that dies in
between leaves the question whether the letter was taken.
"""

import asyncio
import email
from collections import Counter
from random import Random

LONGEST_PAUSE_SECONDS = 0.4
REFUSALS = ("421 too busy", "450 mailbox busy", "451 come back later", "452 no room")


class Postman:
    """Refuses with probability `refuses`; `taken` counts accepted letters by their Message-ID."""

    def __init__(self) -> None:
        self.random = Random(1)
        self.refuses = 0.0
        self.refused = 0
        self.taken: Counter[str] = Counter()

    async def handle_RCPT(self, server, session, envelope, address, options) -> str:  # noqa: N802
        if refusal := self._refusal(self.refuses / 2):
            return refusal
        envelope.rcpt_tos.append(address)
        return "250 OK"

    async def handle_DATA(self, server, session, envelope) -> str:  # noqa: N802
        await self._pause()
        if refusal := self._refusal(self.refuses):
            return refusal
        self.taken[str(email.message_from_bytes(envelope.content)["Message-ID"])] += 1
        await self._pause()
        return "250 OK"

    async def _pause(self) -> None:
        await asyncio.sleep(self.random.uniform(0, LONGEST_PAUSE_SECONDS))

    def _refusal(self, probability: float) -> str | None:
        if self.random.random() >= probability:
            return None
        self.refused += 1
        return self.random.choice(REFUSALS)
