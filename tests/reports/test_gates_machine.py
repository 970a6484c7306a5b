"""Whatever is done about a job, and in whatever order: no certificate comes of it that is not
deserved, and nothing is left of what was refused."""

from dataclasses import dataclass
from datetime import timedelta
from functools import partial

import pytest
from django.utils import timezone
from hypothesis import HealthCheck, Phase, settings
from hypothesis import strategies as st
from hypothesis.stateful import run_state_machine_as_test

from tests.journal import made_at
from tests.lengths import short_or_long
from tests.reports.any_order.at_the_fitting import AtTheFitting
from tests.reports.any_order.before_the_fitting import BeforeTheFitting
from tests.reports.any_order.deeds import FITTING, PHASES, SELDOM, deed
from tests.reports.in_order import due
from tests.reports.small_job import SmallJob

pytestmark = pytest.mark.django_db

TAKEN_ON = timedelta(days=10)
# In the long profile, in all.
RUNS = 420


@dataclass(frozen=True)
class Start:
    """`done`: how many deeds in order come before the random ones; `share` of the runs that start
    there; `to_settle`: what is near its end gets there in so many, unless much was done to it."""

    done: int
    share: int
    to_settle: int = 0


STARTS = {
    "nothing": Start(0, 1),
    "the order is due": Start(3, 2),
    "the plan is due": Start(7, 2),
    "sashes are to be held up": Start(30, 1),
    "the last screw is to be driven": Start(55, 1),
    "the last gaps are to be read": Start(77, 2, to_settle=20),
    "it is to be handed over": Start(86, 3, to_settle=12),
    "it was handed over": Start(87, 3, to_settle=12),
}
SHARES = sum(start.share for start in STARTS.values())


class AnyOrder(BeforeTheFitting, AtTheFitting):
    def teardown(self) -> None:
        """Whatever was done meanwhile, somebody tries every gate, and what is near its end is
        brought there."""
        try:
            self.try_every_gate()
            for _ in range(STARTS[self.start].to_settle):
                self.do_what_is_due(times=1)
                if self.job.certificate:
                    break
        finally:
            super().teardown()

    @deed(*PHASES, times=st.integers(1, 6))
    def do_what_is_due(self, times: int) -> None:
        for _ in range(times):
            is_due = due(self.job)
            if is_due == self.job.ask_for_certificate:
                self.ask()
                return
            self.attempt(is_due)

    @deed(*PHASES, most=SELDOM)
    def try_every_gate(self) -> None:
        job = self.job
        for before in (job.order, job.plan):
            self.attempt(before)
        if self.phase == FITTING:
            self.attempt(partial(job.fix, job.installation, "right", 900.0, "frame_screw"))
            self.attempt(partial(job.read_gaps, job.installation, 0, even=True))
            self.attempt(partial(job.plan_anew, job.installation))
            self.attempt(job.hand_over)
            self.ask()
        self.hold_always()


def test_no_certificate_comes_that_is_not_deserved_and_nothing_is_left_of_what_was_refused():
    AnyOrder.job = job = SmallJob()
    made_at(job.job, timezone.now() - TAKEN_ON)
    job.job.refresh_from_db()
    done = 0
    for AnyOrder.start, start in STARTS.items():
        for _ in range(start.done - done):
            due(job)()
        done = start.done
        runs = settings(
            max_examples=short_or_long(1, RUNS * start.share // SHARES),
            stateful_step_count=25,
            # Shortening what failed would take minutes, and 25 deeds can be read as they are.
            phases=[Phase.generate],
            suppress_health_check=list(HealthCheck),
        )
        run_state_machine_as_test(AnyOrder, settings=runs)
    assert AnyOrder.issued
    assert {"GateClosed", "Conflict", "InvalidField"} <= AnyOrder.refused
