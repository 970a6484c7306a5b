"""Whatever is done about a job, and in whatever order: no certificate comes of it that is not
deserved, and nothing is left of what was refused."""

from functools import partial
from typing import Any, ClassVar

import pytest
from django.db import connection, transaction
from django.db.models import QuerySet
from hypothesis import HealthCheck, Phase, settings
from hypothesis import strategies as st
from hypothesis.stateful import (
    RuleBasedStateMachine,
    initialize,
    precondition,
    rule,
    run_state_machine_as_test,
)

from installs import models as fitted
from installs.models import Defect, Fixing, Handover, Inspection, PlanStep
from jobs.arithmetic.errors import UnusableInput
from jobs.errors import DomainError
from jobs.models import Delivery, Doorset, JournalEntry
from reports.models import Document
from surveys.models import FitDecision, Survey
from tests.lengths import short_or_long
from tests.reports.in_order import OperationHandler, due
from tests.reports.small_job import AGAIN, FIRST, SmallJob

pytestmark = pytest.mark.django_db

# Deeds in order that come before the random ones: from nothing, from a plan, and from a fitting
# that only waits to be handed over.
DONE_AT_THE_START = {"drafted": 0, "planned": 8, "fitted": 86}
# Steps to record out of turn: the hold points, and what is measured, checked and conceded.
STEPS = ["remeasure", "lift", "running_gear_free", "level", "diagonals", "foam", "gaps_again"]
CONCEDED = ["minor_defect", "level", "diagonals", "junction_gap", "fixing_position", "remeasure"]
RECORDS: list[Any] = [Doorset, Delivery, Survey, FitDecision, Document]
RECORDS += [fitted.Installation, fitted.Inspection, fitted.Fixing, fitted.JunctionGap, fitted.Bead]
RECORDS += [fitted.SashRecord, fitted.Defect, fitted.Concession, fitted.Handover]


class AnyOrder(RuleBasedStateMachine):
    """Each run starts from one of the jobs and leaves them as they were."""

    starts: ClassVar[dict[str, SmallJob]] = {}
    issued: ClassVar[list[str]] = []
    refused: ClassVar[set[str]] = set()

    def __init__(self) -> None:
        super().__init__()
        self.before = transaction.savepoint()

    def teardown(self) -> None:
        transaction.savepoint_rollback(self.before)

    @initialize(start=st.sampled_from(sorted(DONE_AT_THE_START)))
    def begin(self, start: str) -> None:
        self.start, self.job = start, self.starts[start]

    def attempt(self, deed: OperationHandler) -> None:
        records, papers = on_record(self.job), Document.objects.count()
        try:
            deed()
        except (DomainError, UnusableInput) as refusal:
            assert on_record(self.job) == records
            self.refused.add(type(refusal).__name__)
        if Document.objects.count() > papers:
            self.issued.append(self.start)
            assert what_is_wanting(self.job) == []

    @rule(times=st.integers(1, 4))
    def do_what_is_due(self, times: int) -> None:
        for _ in range(times):
            self.attempt(due(self.job))

    @rule()
    def ask_for_the_certificate(self) -> None:
        self.attempt(self.job.ask_for_certificate)

    @rule(with_keys=st.booleans())
    def hand_over(self, with_keys: bool) -> None:
        self.attempt(partial(self.job.hand_over, with_keys=with_keys))

    @rule(stage=st.sampled_from([FIRST, AGAIN]), sound=st.booleans())
    def survey(self, stage: str, sound: bool) -> None:
        self.attempt(partial(self.job.survey, stage, sound=sound))

    @rule(stage=st.sampled_from([FIRST, AGAIN]), accepts=st.booleans())
    def accept_or_decide(self, stage: str, accepts: bool) -> None:
        if survey := self.job.newest_survey(stage):
            self.attempt(partial(self.job.accept if accepts else self.job.decide, survey))

    @rule()
    def order(self) -> None:
        self.attempt(self.job.order)

    @rule(
        otherwise=st.sampled_from([{}, {"leaves_counted": 1}, {"accepted": False, "damage": "x"}])
    )
    def deliver(self, otherwise: dict[str, Any]) -> None:
        self.attempt(partial(self.job.deliver, **otherwise))

    @rule()
    def plan(self) -> None:
        self.attempt(self.job.plan)

    @precondition(lambda self: self.job.installation)
    @rule()
    def plan_anew(self) -> None:
        self.attempt(partial(self.job.plan_anew, self.job.installation))

    @precondition(lambda self: self.job.installation)
    @rule(code=st.sampled_from(STEPS), sound=st.booleans())
    def inspect(self, code: str, sound: bool) -> None:
        if step := steps_of(self.job).filter(code=code).first():
            self.attempt(partial(self.job.inspect, step, sound=sound))

    @precondition(lambda self: self.job.installation)
    @rule(
        position=st.sampled_from([150.0, 900.0, 9000.0]), kind=st.sampled_from(Fixing.Kind.values)
    )
    def fix(self, position: float, kind: str) -> None:
        self.attempt(partial(self.job.fix, self.job.installation, "left", position, kind))

    @precondition(lambda self: self.job.installation)
    @rule(number=st.integers(0, 3), even=st.booleans())
    def read_gaps(self, number: int, even: bool) -> None:
        self.attempt(partial(self.job.read_gaps, self.job.installation, number, even=even))

    @precondition(lambda self: self.job.installation)
    @rule(leaf=st.integers(1, 3), whole=st.booleans())
    def glaze(self, leaf: int, whole: bool) -> None:
        self.attempt(partial(self.job.glaze, self.job.installation, leaf, whole=whole))

    @precondition(lambda self: self.job.installation)
    @rule(severity=st.sampled_from(Defect.Severity.values))
    def find_defect(self, severity: str) -> None:
        self.attempt(partial(self.job.find_defect, self.job.installation, severity))

    @precondition(lambda self: self.job.open_defects)
    @rule()
    def put_right(self) -> None:
        self.attempt(partial(self.job.put_right, self.job.open_defects[0]))

    @precondition(lambda self: self.job.open_defects)
    @rule(accepted=st.booleans(), by_mate=st.booleans())
    def look_again(self, accepted: bool, by_mate: bool) -> None:
        defect = self.job.open_defects[0]
        self.attempt(partial(self.job.look_again, defect, accepted=accepted, by_mate=by_mate))

    @precondition(lambda self: self.job.installation)
    @rule(code=st.sampled_from(CONCEDED))
    def concede(self, code: str) -> None:
        defect = next(iter(self.job.open_defects), None)
        self.attempt(partial(self.job.concede, self.job.installation, code, defect))


def on_record(job: SmallJob) -> dict[str, Any]:
    """How many records there are of each kind and of what versions, and how long the journal of
    the job is."""
    tables = [model._meta.db_table for model in RECORDS]
    counted = " UNION ALL ".join(
        f"SELECT '{table}', COUNT(*), SUM(version) FROM {table}" for table in tables
    )
    with connection.cursor() as cursor:
        cursor.execute(counted)
        records = {table: tuple(counts) for table, *counts in cursor.fetchall()}
    journal = JournalEntry.objects.filter(stream__name=job.job.journal_stream)
    return records | {"journal": journal.count()}


def steps_of(job: SmallJob) -> QuerySet[PlanStep]:
    return PlanStep.objects.filter(installation=job.installation)


def what_is_wanting(job: SmallJob) -> list[str]:
    """What a certificate says without words, read from the records and not from the gates."""
    installation = job.installation
    wanting = [
        f"hold point {step.code} is not released"
        for step in steps_of(job).filter(hold_point=True)
        if step.inspections.order_by("created_at", "id").last().outcome != Inspection.Outcome.PASS
    ]
    wanting += [
        f"a {defect.severity} defect is open"
        for defect in job.open_defects
        if defect.severity == Defect.Severity.CRITICAL or not defect.concession_set.exists()
    ]
    handover = Handover.objects.filter(job=job.job).first()
    if handover is None or str(installation.pk) not in handover.keys:
        wanting.append("it was not handed over")
    return wanting


def test_no_certificate_comes_that_is_not_deserved_and_nothing_is_left_of_what_was_refused():
    for start, count in DONE_AT_THE_START.items():
        AnyOrder.starts[start] = job = SmallJob()
        for _ in range(count):
            due(job)()
    few = settings(
        max_examples=short_or_long(12, 400),
        stateful_step_count=25,
        # Shortening what failed would take minutes, and 25 deeds can be read as they are.
        phases=[Phase.generate],
        suppress_health_check=list(HealthCheck),
    )
    run_state_machine_as_test(AnyOrder, settings=few)
    assert "fitted" in AnyOrder.issued
    assert {"GateClosed", "Conflict", "InvalidField"} <= AnyOrder.refused
