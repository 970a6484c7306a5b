"""Whether bad networks leave what a good one leaves: a day of fitting, sent in many schedules."""

from collections import Counter
from dataclasses import dataclass, field
from random import Random
from typing import Any

from django.core.cache import cache
from django.db import transaction
from rest_framework.test import APIClient

from installs.models import Defect, Installation
from installs.services import defects
from jobs.idempotency import IdempotencyKey
from jobs.models import Person
from jobs.services.journal_check import find_flaws
from tests import factories
from tests.api import signed_in
from tests.installs.queue_network import BadNetwork
from tests.installs.queue_session import Queue, on_record, whole_session


@dataclass
class Stage:
    """A phone with a day's queue. `told` counts the answers it got, or would have got."""

    client: APIClient
    queue: list[dict[str, Any]]
    told: Counter[str] = field(default_factory=Counter)

    def send(self, operations: list[dict[str, Any]]) -> list[dict[str, Any]]:
        cache.clear()  # A schedule takes days on site; the throttle sees it in a second.
        answer = self.client.post("/api/v1/sync/", {"operations": operations})
        if answer.status_code != 200:
            raise AssertionError(answer.content)
        results = answer.json()["results"]
        self.told.update(result["result"] for result in results)
        return results


def prepare(until: str = "", **order: Any) -> Stage:
    """A planned installation and its fitter's phone; `until` as in `whole_session`, `order` as for
    a doorset. Its first two operations are in conflict with what the office did meanwhile."""
    office, fitter = factories.person("office"), factories.person("fitter")
    installation = factories.installation(office, fitter, factories.job(office), **order)
    for step in installation.steps.all():
        if "photo" in step.evidence:
            factories.site_photo(fitter, step)
    scratch = _settled_by_the_office(office, installation)
    queue = Queue()
    queue.add("put_defect_right", str(scratch.pk), 1, how="sill replaced")
    queue.add(
        "report_defect",
        str(scratch.pk),
        installation=str(installation.pk),
        severity="major",
        description="Sill bent",
    )
    put_right = _put_right_by_the_mate(installation)
    queue.add("reinspect_defect", str(put_right.pk), 2, accepted=True)
    whole_session(installation, factories.instrument(office), queue, until)
    return Stage(signed_in(fitter), queue.operations)


def _settled_by_the_office(office: Person, installation: Installation) -> Defect:
    scratch = defects.record_defect(
        actor=office,
        idempotency_key=IdempotencyKey(),
        installation=installation,
        severity="minor",
        description="Scratch on the sill",
    )
    scratch = defects.put_right(actor=office, defect=scratch, expected_version=1, how="polished")
    return defects.reinspect(actor=office, defect=scratch, expected_version=2, accepted=True)


def _put_right_by_the_mate(installation: Installation) -> Defect:
    """What is more than minor is looked at by somebody else, who closes it on this phone."""
    mate = factories.person("fitter")
    bent = defects.record_defect(
        actor=mate,
        idempotency_key=IdempotencyKey(),
        installation=installation,
        severity="major",
        description="A strap is bent",
    )
    return defects.put_right(actor=mate, defect=bent, expected_version=1, how="replaced")


def played(stage: Stage, chance: Random | None = None) -> tuple[dict[str, Any], list[Any]]:
    """What one schedule leaves on record, and the flaws of the journal; then all is undone.

    Without a die to throw the queue is sent once, undisturbed.
    """
    with transaction.atomic():
        if chance:
            BadNetwork(stage.send, chance).deliver(stage.queue)
        else:
            stage.send(stage.queue)
        left = on_record(), list(find_flaws())
        transaction.set_rollback(True)
    return left


def differing(stage: Stage, schedules: int, seed: int) -> list[int]:
    """Numbers of the schedules that leave other records than an undisturbed one, or a flaw."""
    records, _ = played(stage)
    return [
        number
        for number in range(schedules)
        if played(stage, Random(f"{seed} {number}")) != (records, [])
    ]
