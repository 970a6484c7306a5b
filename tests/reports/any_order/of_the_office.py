"""Visits, openings that come and go, concessions, papers: what is done at a desk meanwhile."""

from functools import partial

from hypothesis import strategies as st

from installs.gates import gates_of
from tests.reports.any_order.deeds import FITTING, PHASES, SELDOM, Deeds, deed
from tests.reports.must_hold import can_be_left_out

CONCEDED = [
    "minor_defect",
    "photo",
    "level",
    "diagonals",
    "junction_gap",
    "fixing_position",
    "remeasure",
]


class OfTheOffice(Deeds):
    @deed(
        *PHASES,
        most=SELDOM,
        days=st.sampled_from([0, 2]),
        kind=st.sampled_from(["fitting", "return"]),
    )
    def book(self, days: int, kind: str) -> None:
        self.attempt(partial(self.job.book, days, kind))

    @deed(*PHASES, newest=st.booleans(), deed=st.sampled_from(["move", "cancel", "end"]))
    def change_visit(self, newest: bool, deed: str) -> None:
        """Of all visits: the newest, or that of the next survey."""
        visits = self.job.job.visits.order_by("created_at")
        visit = visits.last() if newest else visits[self.phase == FITTING]
        self.attempt(partial(self.job.change_visit, visit, deed))

    @deed(*PHASES, most=SELDOM, when=lambda self: self.job.job.openings.wanted().count() < 2)
    def add_opening(self) -> None:
        self.attempt(self.job.add_opening)

    @deed(*PHASES, most=SELDOM, when=lambda self: self.job.job.openings.count() > 1)
    def leave_out(self) -> None:
        newest = self.job.job.openings.order_by("-number").first()
        may = can_be_left_out(self.job)
        self.attempt(partial(self.job.leave_out, newest))
        newest.refresh_from_db()
        assert newest.left_out_at or not may, "an opening is a dead end"

    @deed(FITTING, code=st.sampled_from(CONCEDED), number=st.integers(0, 6), by_code=st.booleans())
    def concede(self, code: str, number: int, by_code: bool) -> None:
        """What is in the way, or whatever comes to mind; with its place, or without."""
        in_the_way = self.concedable()
        chosen = in_the_way[number] if number < len(in_the_way) else (code, None)
        self.grant(*(chosen if not by_code else (code, None)))

    @deed(FITTING, number=st.integers(0, 3))
    def concede_every_place(self, number: int) -> None:
        """Of one code, one place after the other."""
        codes = sorted({code for code, _ in self.concedable()})
        for code, place in self.concedable():
            if code == codes[number % len(codes)]:
                self.grant(code, place)

    def concedable(self) -> list[tuple[str, str | None]]:
        gates = gates_of(self.job.installation).values()
        return sorted({(b.code, b.place) for gate in gates for b in gate if b.concedable})

    def grant(self, code: str, place: str | None) -> None:
        """A minor defect is named; any is, where it comes to that."""
        defects = self.job.open_defects
        minor = (defect for defect in defects if defect.severity == "minor")
        defect = next(minor, next(iter(defects), None))
        self.attempt(partial(self.job.concede, self.job.installation, code, defect, place))

    @deed(FITTING, when=lambda self: self.changed_since_asked)
    def ask_for_the_certificate(self) -> None:
        self.ask()

    @deed(FITTING, when=lambda self: self.job.certificate, for_safety=st.booleans())
    def withdraw(self, for_safety: bool) -> None:
        self.attempt(partial(self.job.withdraw, for_safety=for_safety))
