"""What a crew records: steps in any order, defects, and the handover."""

from datetime import timedelta
from functools import partial

from django.utils import timezone
from hypothesis import strategies as st

from installs.models import Defect, Fixing
from tests.reports.any_order.deeds import FITTING, deed
from tests.reports.any_order.of_the_office import OfTheOffice

# Steps to record out of turn: what is measured, and can be conceded; a hold point that is
# critical, what is checked, and what closes a register. An early hold point among them that failed
# would close all of them.
READ = ["plumb", "level", "diagonals", "bow", "clear_height"]
STEPS = [
    *READ,
    "support_sashes",
    "foam",
    "running_gear",
    "glass_in",
    "beads_back",
    "gaps_again",
    "seal",
]
FALL_SHORT = [*READ, "support_sashes"]
SHOWN = ["protect_room", "damp_proof_course", "seal"]
ALL = 99
EARLY_HOLD_POINTS = ["remeasure", "measure_open_wall", "lift_in"]
LATE = [timedelta(hours=hours) for hours in (-1, 1, 30, 200, 400)]
SEVERITIES = st.sampled_from(Defect.Severity.values)


class AtTheFitting(OfTheOffice):
    @deed(
        FITTING,
        code=st.sampled_from(STEPS),
        sound=st.booleans(),
    )
    def inspect(self, code: str, sound: bool) -> None:
        if step := self.step(code):
            self.attempt(partial(self.job.inspect, step, sound=sound))

    @deed(
        FITTING,
        code=st.sampled_from(["diagonals", *READ]),
        read_with=st.sampled_from(["tape", "gauge", "expired"]),
    )
    def read(self, code: str, read_with: str) -> None:
        if step := self.step(code):
            self.attempt(partial(self.job.inspect, step, sound=True, read_with=read_with))

    @deed(FITTING, code=st.sampled_from(EARLY_HOLD_POINTS), behind=st.sampled_from(STEPS))
    def fail_a_hold_point(self, code: str, behind: str) -> None:
        """Nothing behind it may be recorded until it has passed again."""
        if (step := self.step(code)) and (later := self.step(behind)):
            self.attempt(partial(self.job.inspect, step, sound=False))
            self.attempt(partial(self.job.inspect, later, sound=True))
            self.attempt(partial(self.job.inspect, step, sound=True))

    @deed(
        FITTING,
        code=st.sampled_from(READ),
        ago=st.sampled_from(LATE),
        read_with=st.sampled_from(["tape", "expired"]),
    )
    def send_late(self, code: str, ago: timedelta, read_with: str) -> None:
        if step := self.step(code):
            late = partial(self.job.inspect_late, step, ago, sound=True, read_with=read_with)
            self.attempt(late)

    @deed(FITTING)
    def leave_tape(self) -> None:
        if step := self.step("tape_off"):
            self.attempt(partial(self.job.leave_tape, step))

    @deed(
        FITTING,
        codes=st.permutations(SHOWN).map(lambda codes: codes[:2]),
        size=st.sampled_from([(640, 480), (640, 480), (1, 1)]),
    )
    def photograph(self, codes: list[str], size: tuple[int, int]) -> None:
        """One picture, sent for two steps."""
        for code in codes:
            if step := self.step(code):
                self.attempt(partial(self.job.photograph, step, size))

    @deed(
        FITTING,
        position=st.sampled_from([150.0, 900.0, 9000.0]),
        kind=st.sampled_from(Fixing.Kind.values),
    )
    def fix(self, position: float, kind: str) -> None:
        self.attempt(partial(self.job.fix, self.job.installation, "left", position, kind))

    @deed(FITTING, number=st.integers(0, 3), even=st.booleans())
    def read_gaps(self, number: int, even: bool) -> None:
        self.attempt(partial(self.job.read_gaps, self.job.installation, number, even=even))

    @deed(FITTING, leaf=st.integers(1, 3), whole=st.booleans())
    def glaze(self, leaf: int, whole: bool) -> None:
        self.attempt(partial(self.job.glaze, self.job.installation, leaf, whole=whole))

    @deed(FITTING, severity=SEVERITIES, code=st.sampled_from(["", *STEPS]))
    def find_defect(self, severity: str, code: str) -> None:
        step = self.step(code)
        self.attempt(partial(self.job.find_defect, self.job.installation, severity, step))

    @deed(FITTING, when=lambda self: self.job.open_defects, by_mate=st.booleans())
    def put_right(self, by_mate: bool) -> None:
        self.attempt(partial(self.job.put_right, self.job.open_defects[0], by_mate=by_mate))

    @deed(
        FITTING,
        when=lambda self: self.job.open_defects,
        accepted=st.booleans(),
        by_mate=st.booleans(),
    )
    def look_again(self, accepted: bool, by_mate: bool) -> None:
        defect = self.job.open_defects[0]
        self.attempt(partial(self.job.look_again, defect, accepted=accepted, by_mate=by_mate))

    @deed(
        FITTING,
        code=st.sampled_from(FALL_SHORT),
        severity=SEVERITIES,
        reported_first=st.booleans(),
        accepted=st.sampled_from([0, 1, ALL]),
    )
    def fail_beside_a_report(
        self, code: str, severity: str, reported_first: bool, accepted: int
    ) -> None:
        """Somebody reports a defect at a step that fails, too; so many of its places are accepted
        and a certificate is asked for, before and after the step is recorded again."""
        if reported_first:
            self.find_defect(severity=severity, code=code)
        self.inspect(code=code, sound=False)
        if not reported_first:
            self.find_defect(severity=severity, code=code)
        places = [place for conceded, place in self.concedable() if conceded == code]
        for place in places[:accepted]:
            self.grant(code, place)
        self.ask()
        self.inspect(code=code, sound=False)
        self.ask()

    @deed(FITTING, when=lambda self: self.job.open_defects, days=st.sampled_from([-1, 0, 20, 400]))
    def leave_to_come(self, days: int) -> None:
        """The gravest as readily as the least."""
        until = timezone.localdate() + timedelta(days=days)
        for defect in self.job.open_defects[:2]:
            self.attempt(partial(self.job.leave_to_come, defect, until))

    @deed(FITTING, when=lambda self: self.job.open_defects, photographed=st.booleans())
    def close_from_afar(self, photographed: bool) -> None:
        """By the office, on pictures before and after where there are any, or on nothing."""
        defect = self.job.open_defects[0]
        pictures = ("teal", "crimson") if photographed else ("teal",)
        for colour in pictures:
            self.attempt(partial(self.job.photograph_defect, defect, colour))
        self.put_right(by_mate=False)
        self.attempt(partial(self.job.close_on_evidence, defect))

    @deed(
        FITTING,
        keys=st.booleans(),
        reason=st.sampled_from(["On paper", "On paper", ""]),
        shown=st.booleans(),
    )
    def hand_over(self, keys: bool, reason: str, shown: bool) -> None:
        told = {"with_keys": keys, "unsigned_because": reason, "shown": shown}
        self.attempt(partial(self.job.hand_over, **told))
