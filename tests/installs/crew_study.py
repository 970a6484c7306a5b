"""Whether refusals, cures, repeats and two phones of a crew leave what one good network leaves."""

from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from contextlib import suppress
from dataclasses import dataclass, field
from pathlib import Path
from random import Random
from typing import Any

from django.core.cache import cache
from django.db import transaction
from rest_framework.test import APIClient

from fixtures_demo.client import Answer, Client, Refused
from fixtures_demo.queue import Phone, Store
from installs.models import Bead, Defect, Inspection, Installation, JunctionGap, Reading, SetAside
from installs.services.installing import plan_installation
from jobs.idempotency import IdempotencyKey
from jobs.models import Person
from jobs.services.journal_check import find_flaws
from surveys.models import Instrument
from tests import factories
from tests.api import signed_in
from tests.installs.crew_acts import OVERDUE, Act, Thread, at_the_gear, at_the_start

# What differs from one schedule to the next although the same was recorded.
OWN_TO_A_SCHEDULE = {
    "id", "creation_digest", "created_at", "updated_at", "recorded_at", "inspection_id",
    "inspector_id", "fitter_id", "found_by_id", "taken_off_by_id", "put_back_by_id",
    "person_id", "record", "put_right_by_id", "put_right_at", "reinspected_by_id",
    "reinspected_at", "closed_at",
}  # fmt: skip
# Neighbours change places by so much.
FARTHEST = 4
# Sending goes on until nothing is left, and never so often.
MOST_ROUNDS = 40


class Line(Client):
    """A line that cuts, delays and loses by the throw of a die; without one it is good."""

    def __init__(self, service: APIClient, chance: Random | None) -> None:
        super().__init__("http://127.0.0.1")
        self.service, self.chance = service, chance
        self.answered: Counter[str] = Counter()
        self.delayed: list[Any] = []

    def send(self, method: str, path: str, body: Any = None, headers: Any = None) -> Answer:
        fate = self.chance.random() if self.chance else 1.0
        if fate < 0.15:
            raise OSError("no network")
        if fate < 0.25:
            self.delayed.append(body)
            raise OSError("too late")
        if self.delayed and fate > 0.7:
            self._arrive(self.delayed.pop())
        if fate < 0.35:
            done = len(body["operations"]) // 2 or 1
            self._arrive(body | {"operations": body["operations"][:done]})
            raise OSError("cut while the service works")
        answer = self._arrive(body)
        if fate < 0.45:
            raise OSError("no answer")
        if answer.status_code >= 400:
            raise Refused(answer.status_code, answer.json())
        self.answered.update(result["result"] for result in answer.json()["results"])
        return Answer(answer.json(), None, answer.content)

    def _arrive(self, body: Any) -> Any:
        cache.clear()  # A schedule takes hours on site; the throttle sees it in a second.
        return self.service.post("/api/v1/sync/", body)


@dataclass
class Crew:
    """Two fitters before the same doorset, and what there is to record."""

    fitters: list[Person]
    installation: Installation
    instrument: Instrument
    acts: Callable[[Installation, Instrument], Iterator[Thread]]
    answered: Counter[str] = field(default_factory=Counter)


@dataclass(frozen=True)
class Outcome:
    """What a schedule left: its records, how many operations are stuck, flaws of the journal."""

    records: Counter[str]
    stuck: int
    flaws: int


def crews() -> list[Crew]:
    """One crew at the start of a fitting, and one at its running gear."""
    office = factories.person("office")
    instrument = factories.instrument(office)
    factories.instrument(office, name=OVERDUE, calibration_due="2020-01-31")
    prepared = []
    for until, acts in (("", at_the_start), ("running_gear", at_the_gear)):
        fitters = [factories.person("fitter") for _ in range(2)]
        job = factories.job(office)
        installation = plan_installation(
            actor=office,
            idempotency_key=IdempotencyKey(),
            doorset=factories.released_doorset(office, factories.opening(office, job)),
            visit=factories.visit(office, job, "fitting", *fitters),
        )
        if until:
            factories.fitted(fitters[0], installation, until=until)
        prepared.append(Crew(fitters, installation, instrument, acts))
    return prepared


def played(crew: Crew, chance: Random | None = None) -> Outcome:
    """One schedule, undone again; without a die all is recorded in order on one good phone."""
    with transaction.atomic():
        outcome = _play(crew, chance)
        transaction.set_rollback(True)
    return outcome


def _play(crew: Crew, chance: Random | None) -> Outcome:
    lines = [Line(signed_in(person), chance) for person in crew.fitters]
    phones = [Phone(Store(Path(":memory:"), "fitter"), line) for line in lines]
    threads = list(crew.acts(crew.installation, crew.instrument))
    if chance is None:
        for act in (act for thread in threads for act in thread):
            _record(phones[0], act)
            phones[0].send()
            _cure(phones[0], threads)
            phones[0].send()
    else:
        _out_of_order(phones, threads, chance)
        for _ in range(MOST_ROUNDS):
            for phone in phones:
                _cure(phone, threads)
                _try_to_send(phone)
    for line in lines:
        crew.answered.update(line.answered)
    stuck = sum(len(phone.store.all("queued", "conflict")) for phone in phones)
    return Outcome(_on_record(), stuck, len(list(find_flaws())))


def _out_of_order(phones: list[Phone], threads: list[Thread], chance: Random) -> None:
    """Each thread on one phone, in its order; among themselves they change places."""
    acts = []
    for number, thread in enumerate(threads):
        phone, at = chance.choice(phones), number + chance.uniform(0, FARTHEST)
        acts += [(at + step * 0.3, phone, act) for step, act in enumerate(thread)]
    for _, phone, act in sorted(acts, key=lambda entry: entry[0]):
        _record(phone, act, mistyped=bool(act.mistyped))
        if chance.random() < 0.3:
            _repeat(phone, phones, act, chance)
        if chance.random() < 0.4:
            _try_to_send(phone)
        if chance.random() < 0.2:
            _cure(phone, threads)


def _repeat(phone: Phone, phones: list[Phone], act: Act, chance: Random) -> None:
    """A double tap on the same page, the same once more on a new one, or by the other fitter."""
    if act.mistyped or act.hopeless or act.version is not None:
        return
    if act.adds or chance.random() < 0.3:
        _record(phone, act)
        return
    # What somebody else finds after it was put right is another failure; so is what answers one.
    failed = any(reading["value"] == 5 for reading in act.body.get("readings", ()))
    other = phone if failed or act.answers else chance.choice(phones)
    other.add(act.kind, follows=act.follows, **act.body)


def _record(phone: Phone, act: Act, *, mistyped: bool = False) -> None:
    body = act.body | (act.mistyped if mistyped else {})
    if act.version is None:
        phone.add(act.kind, act.record, follows=act.follows, **body)
    else:
        phone.change(act.kind, act.record, act.version, **body)


def _cure(phone: Phone, threads: Iterable[Thread]) -> None:
    """What was mistyped and came back is typed as it was read; what never will be is set aside
    once its reason is that, and not a gate."""
    meant = {act.record: act for thread in threads for act in thread}
    for kept in phone.to_decide:
        act = meant.get(kept.operation["record"])
        if not act or kept.in_doubt or not (kept.answer or {})["problem"].get("errors"):
            continue
        if act.hopeless:
            phone.set_aside(kept.operation["id"])
        elif act.mistyped:
            phone.correct(kept.operation["id"], **act.body)


def _try_to_send(phone: Phone) -> None:
    with suppress(OSError):
        phone.send()


def _on_record() -> Counter[str]:
    """How often each content is on record, whoever recorded it and when."""
    return Counter(
        f"{model.__name__} {_content(row)}"
        for model in (Inspection, Reading, JunctionGap, Bead, Defect, SetAside)
        for row in model._default_manager.values()
    )


def _content(row: dict[str, Any]) -> str:
    return str({name: value for name, value in row.items() if name not in OWN_TO_A_SCHEDULE})


def judged(crew: Crew, numbers: Iterable[int], seed: int) -> Counter[str]:
    """How many schedules lost something, doubled something, stuck, or left a flaw."""
    asked = played(crew).records
    verdicts: Counter[str] = Counter()
    for number in numbers:
        left = played(crew, Random(f"{seed} {number}"))
        verdicts["lost"] += bool(asked - left.records)
        verdicts["doubled"] += bool(left.records - asked)
        verdicts["stuck"] += bool(left.stuck)
        verdicts["flaws"] += bool(left.flaws)
    return verdicts
