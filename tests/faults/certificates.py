"""Jobs whose certificates are asked for while all fails, and what must be true in the end.

The certificates are of one small doorset, so that they are drawn in a second: what happens to them
from being asked for until the letter is taken does not depend on how long they are.
"""

import hashlib
from contextlib import suppress
from dataclasses import dataclass
from random import Random

from django.db import transaction

from jobs.errors import DomainError
from jobs.models import Job, Person
from jobs.services.journal_check import find_flaws
from reports.models import Dispatch, Document
from reports.services.documents import withdraw_document
from reports.tasks import make_document
from tests import factories
from tests.faults.postman import Postman
from tests.reports.asked import asked_certificate


@dataclass
class Firm:
    """An office and its jobs."""

    office: Person
    jobs: list[Job]

    @classmethod
    def founded(cls, jobs: int) -> "Firm":
        office = factories.person("office")
        firm = cls(office, [factories.job(office) for _ in range(jobs)])
        for job in firm.jobs:
            firm.ask_again(job)
        return firm

    def ask_again(self, job: Job) -> None:
        """The edition that stands is withdrawn, and a new one asked for."""
        if current := job.documents.current().first():
            withdraw_document(
                actor=self.office,
                document=current,
                expected_version=current.version,
                reason="asked for anew",
                for_safety=False,
            )
        with transaction.atomic():
            asked = asked_certificate(self.office, job)
            transaction.on_commit(lambda: make_document.delay(str(asked.pk)), robust=True)

    def ask_at_random(self, random: Random) -> None:
        """Where a worker stores the very paper that is to be withdrawn, it is left for now."""
        with suppress(DomainError):
            self.ask_again(random.choice(self.jobs))

    def everything_is_done(self) -> bool:
        current = Document.objects.current()
        waiting = Dispatch.objects.filter(state="waiting", document__in=current)
        return not current.filter(rendered_at=None).exists() and not waiting.exists()


def what_is_wrong(firm: Firm, postman: Postman) -> list[str]:
    """Everything that breaks the promise: one current certificate a job, one letter a version."""
    troubles = [f"journal {flaw.stream} {flaw.number}: {flaw.why}" for flaw in find_flaws()]
    for job in firm.jobs:
        current = list(job.documents.current())
        if len(current) != 1 or not current[0].rendered_at:
            troubles.append(f"{job.reference} has {len(current)} current certificates made")
        troubles += [
            trouble for paper in job.documents.made() for trouble in _wrong(paper, postman)
        ]
    return troubles


def _wrong(paper: Document, postman: Postman) -> list[str]:
    troubles = []
    with paper.file.open("rb") as file:
        if hashlib.sha256(file.read()).hexdigest() != paper.sha256:
            troubles.append(f"the file of {paper} is another one")
    letters = list(paper.dispatches.all())
    ids = {attempt for letter in letters for attempt in _message_ids(letter)}
    taken = [id_ for id_ in ids if id_ in postman.taken]
    if paper.status == "genuine" and len(taken) != 1:
        troubles.append(f"{paper} went out in {len(taken)} letters")
    if len(letters) > 1 or len(taken) > 1:
        troubles.append(
            f"{paper} has {len(letters)} rows in the outbox, {len(taken)} letters taken"
        )
    if any(letter.state == "sent" for letter in letters) and not taken:
        troubles.append(f"{paper} is recorded as sent and was not")
    return troubles


def _message_ids(letter: Dispatch) -> set[str]:
    return {letter.message_id, *letter.attempt_records.values_list("message_id", flat=True)}
