"""`manage.py study_opening_fit`: how often opening-fit misleads where the truth is known."""

from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from jobs.rule_texts import read_rules, shipped_rule_set_texts
from surveys.arithmetic.simulation import BOW_MM, FALL_MM, LEAN_MM, StudyResult, study
from surveys.services.fit_rules import read_priors

BAR = 40
# Name of the figure, and the bar it must clear where there is one.
ROWS = (
    ("false_fits", "fits claimed for a frame 0 to 2 mm too wide", "at most 3 %"),
    ("false_fits_by_height", "fits claimed for a frame 0 to 2 mm too high", "at most 3 %"),
    ("inconclusive_with_room", "inconclusive with 5 mm to spare each way", "at most 10 %"),
    ("false_contradictions", "contradiction reported for a sound survey", "at most 2 %"),
    ("blunders_reported", "blunder of 18 mm or more reported", "at least 95 %"),
    ("culprits_named", "the culprit among the suspects", "at least 90 %"),
    ("thumb_overshoots", "rule of thumb breaks its clearance", ""),
    ("thumb_overshoots_by_2_mm", "rule of thumb breaks it by over 2 mm", ""),
    ("thumb_overshoots_by_5_mm", "rule of thumb breaks it by over 5 mm", ""),
)


class Command(BaseCommand):
    help = "Simulate surveys of openings whose truth is known and print how often they mislead."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--surveys", type=int, default=2000)
        parser.add_argument("--seed", type=int, default=1)

    def handle(self, *args: Any, **options: Any) -> None:
        total = options["surveys"]
        if total < 1:
            raise CommandError("--surveys: give 1 or more")
        rules = read_rules(shipped_rule_set_texts()[0])
        result = study(
            total,
            options["seed"],
            read_priors(rules),
            lambda done: self._show(done, total),
        )
        self.stderr.write("")
        self._print(result, options["seed"])

    def _show(self, done: int, total: int) -> None:
        filled = BAR * done // total
        bar = "=" * filled + " " * (BAR - filled)
        self.stderr.write(f"\r[{bar}] {done} of {total} surveys", ending="")

    def _print(self, result: StudyResult, seed: int) -> None:
        self.stdout.write(
            f"{result.surveys} surveys, seed {seed}; leans, falls and bows drawn with "
            f"{LEAN_MM:g}, {FALL_MM:g} and {BOW_MM:g} mm standard deviation"
        )
        for name, words, bar in ROWS:
            self.stdout.write(f"{getattr(result, name):7.1%}  {words:45} {bar}")
        self.stdout.write(f"{result.suspects_on_average:7.2f}  suspects on average, at most 4")
        for size in ("width", "height"):
            stated = getattr(result, f"{size}_uncertainty")
            share = getattr(result, f"{size}_error_over_uncertainty")
            self.stdout.write(
                f"{stated:7.2f}  mm stated of the clear {size}; true errors are {share:.2f} of it"
            )
