"""Surveys, the order, its delivery: what decides whether the old door may come out."""

from datetime import timedelta
from functools import partial
from typing import Any

from django.utils import timezone
from hypothesis import strategies as st

from tests.reports.any_order.deeds import DELIVERY, FITTING, ORDERING, PHASES, Deeds, deed
from tests.reports.small_job import AGAIN, FIRST, SURVEYED

OFF_BY = [timedelta(hours=hours) for hours in (-400, -30, -3, -0.5, 0.05, 0.5, 30)]
REPORTED = "Sampled by an analyst, none found, report 7"


# What closes every gate of a fitting until it is put right again: one of it is enough.
CLOSING = ("survey", "survey_at_another_time", "deliver", "suspect_asbestos")


def open_yet(machine: Deeds) -> bool:
    return machine.phase != FITTING or not any(machine.done[name] for name in CLOSING)


class BeforeTheFitting(Deeds):
    def stage(self) -> str:
        """Of the next survey."""
        return FIRST if self.phase == ORDERING else AGAIN

    @deed(*PHASES, when=open_yet, how=st.sampled_from([*SURVEYED, "sound"]), decide=st.booleans())
    def survey(self, how: str, decide: bool) -> None:
        self.attempt(partial(self.job.survey, self.stage(), how))
        newest = self.job.newest_survey(self.stage())
        if decide and newest:
            self.attempt(partial(self.job.decide, newest))

    @deed(
        *PHASES,
        when=open_yet,
        how=st.sampled_from([*SURVEYED, "sound"]),
        off=st.sampled_from(OFF_BY),
    )
    def survey_at_another_time(self, how: str, off: timedelta) -> None:
        self.attempt(partial(self.job.survey, self.stage(), how, taken_at=timezone.now() + off))

    @deed(ORDERING, newest=st.booleans(), also_decides=st.booleans())
    def accept(self, newest: bool, also_decides: bool) -> None:
        surveys = self.job.opening.surveys.order_by("taken_at", "created_at")
        if survey := surveys.last() if newest else surveys.first():
            self.attempt(partial(self.job.accept, survey))
            if also_decides:
                self.attempt(partial(self.job.decide, survey))

    @deed(ORDERING, mass=st.sampled_from([20.0, 100.0]))
    def set_limits(self, mass: float) -> None:
        self.attempt(partial(self.job.set_limits, largest_leaf_mass=mass))

    @deed(ORDERING)
    def order(self) -> None:
        self.attempt(self.job.order)

    @deed(DELIVERY, arrives=st.booleans())
    def revise(self, arrives: bool) -> None:
        """What was ordered before may arrive all the same."""
        replaced = self.job.doorset
        self.attempt(self.job.revise)
        if arrives:
            self.attempt(partial(self.job.deliver, replaced))

    @deed(
        *PHASES,
        when=open_yet,
        otherwise=st.sampled_from(
            [
                {},
                {"leaves_counted": 1},
                {"accepted": False, "damage": "x"},
                {"frame": {"width": 1760, "height": 2100}},
            ]
        ),
        days=st.sampled_from([0, 0, 0, -1, 1, -45_000]),
        oldest=st.booleans(),
    )
    def deliver(self, otherwise: dict[str, Any], days: int, oldest: bool) -> None:
        revisions = self.job.opening.doorsets.order_by("revision")
        doorset = revisions.first() if oldest else self.job.doorset
        day = timezone.localdate() + timedelta(days=days)
        self.attempt(partial(self.job.deliver, doorset, delivered_on=day, **otherwise))

    @deed(
        DELIVERY,
        FITTING,
        when=open_yet,
        statement=st.sampled_from(["", ".", REPORTED]),
        papers=st.sampled_from(["none", "named", "photographed"]),
        by_fitter=st.booleans(),
    )
    def suspect_asbestos(self, statement: str, papers: str, by_fitter: bool) -> None:
        """A report is photographed first, only named, or neither."""
        if papers == "photographed":
            self.attempt(self.job.photograph_report)
        named = papers != "none"
        self.attempt(partial(self.job.suspect, AGAIN, statement, papers=named, by_fitter=by_fitter))

    @deed(DELIVERY)
    def plan(self) -> None:
        self.attempt(self.job.plan)
