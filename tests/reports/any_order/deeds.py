"""What every rule of the machine goes through: a deed is tried, and what must hold is looked at."""

from collections import Counter
from collections.abc import Callable, Iterator
from functools import wraps
from typing import Any, ClassVar

from django.db import connection, transaction
from hypothesis.stateful import RuleBasedStateMachine, invariant, precondition, rule

from installs import models as fitted
from installs.models import PlanStep
from jobs.arithmetic.errors import UnusableInput
from jobs.errors import DomainError
from jobs.models import Delivery, Doorset, JournalEntry, Opening, Visit
from reports.models import Document
from surveys.models import FitDecision, Survey
from tests.reports.deserved import certified, fixed, glazed, ordered, planned
from tests.reports.must_hold import always
from tests.reports.small_job import SmallJob

# What a gate lets through, and what must be on record at that moment.
LET_THROUGH: dict[Any, Callable[[SmallJob], Iterator[str]]] = {
    fitted.Installation: planned,
    fitted.Fixing: fixed,
    fitted.JunctionGap: glazed,
    fitted.SashRecord: glazed,
    Document: certified,
}
RECORDS: list[Any] = [
    *LET_THROUGH,
    *(Opening, Visit, Doorset, Delivery, Survey, FitDecision),
    *(fitted.SitePhoto, fitted.Inspection, fitted.Bead),
    *(fitted.Defect, fitted.Concession, fitted.Handover),
]
ORDERING, DELIVERY, FITTING = PHASES = "ordering", "delivery", "fitting"
# Some rules of each run are switched off at random, and what is left of them would fill it with one
# refusal over and over.
OFTEN, SELDOM = 3, 1


def deed(
    *phases: str,
    most: int = OFTEN,
    when: Callable[[Any], Any] = lambda _: True,
    **arguments: Any,
) -> Callable[[Callable[..., None]], Callable[..., None]]:
    """A rule of these phases, drawn so often in a run at `most`, and while `when` holds."""

    def as_rule(function: Callable[..., None]) -> Callable[..., None]:
        name = function.__name__

        @wraps(function)
        def counted(machine: Any, **drawn: Any) -> None:
            machine.done[name] += 1
            function(machine, **drawn)

        def is_drawn(machine: Any) -> bool:
            often_enough = machine.done[name] >= most
            return machine.phase in phases and not often_enough and bool(when(machine))

        return precondition(is_drawn)(rule(**arguments)(counted))

    return as_rule


class Deeds(RuleBasedStateMachine):
    """Each run starts from the job as it is, and leaves it so."""

    job: ClassVar[SmallJob]
    start: ClassVar[str]
    issued: ClassVar[list[str]] = []
    refused: ClassVar[set[str]] = set()

    def __init__(self) -> None:
        super().__init__()
        self.changed, self.changed_since_asked = False, True
        self.phase = phase_of(self.job)
        self.done: Counter[str] = Counter()
        self.before = transaction.savepoint()

    def teardown(self) -> None:
        transaction.savepoint_rollback(self.before)

    def attempt(self, deed: Callable[[], Any]) -> None:
        records, ordered_at = on_record(self.job), self.job.doorset.ordered_at
        try:
            deed()
        except (DomainError, UnusableInput) as refusal:
            assert on_record(self.job) == records
            self.refused.add(type(refusal).__name__)
            return
        self.changed = self.changed_since_asked = True
        self.phase = phase_of(self.job)
        now_on_record = on_record(self.job)
        for model, conditions in LET_THROUGH.items():
            if now_on_record[model][0] > records[model][0]:
                assert list(conditions(self.job)) == []
        if self.job.doorset.ordered_at not in {ordered_at, None}:
            assert list(ordered(self.job)) == []
        if now_on_record[Document][0] > records[Document][0]:
            self.issued.append(self.start)

    def ask(self) -> None:
        """For the certificate, once for all that changed: it is the dearest of all answers."""
        if self.changed_since_asked:
            self.changed_since_asked = False
            self.attempt(self.job.ask_for_certificate)

    @invariant()
    def hold_always(self) -> None:
        if self.changed:
            assert always(self.job) == []
        self.changed = False

    def step(self, code: str) -> PlanStep | None:
        steps = PlanStep.objects.filter(installation=self.job.installation)
        return steps.filter(code=code).first()


def phase_of(job: SmallJob) -> str:
    if job.doorset.ordered_at is None:
        return ORDERING
    return FITTING if job.installation else DELIVERY


def on_record(job: SmallJob) -> dict[Any, Any]:
    """How many records there are of each kind and of what versions, and how long the journal of
    the job is."""
    tables = {model._meta.db_table: model for model in RECORDS}
    counted = " UNION ALL ".join(
        f"SELECT '{table}', COUNT(*), SUM(version) FROM {table}" for table in tables
    )
    with connection.cursor() as cursor:
        cursor.execute(counted)
        records = {tables[table]: tuple(counts) for table, *counts in cursor.fetchall()}
    journal = JournalEntry.objects.filter(stream__name=job.job.journal_stream)
    return records | {"journal": journal.count()}
