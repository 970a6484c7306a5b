"""`manage.py study_opening_fit`: how often opening-fit misleads where the truth is known."""

from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from jobs.rule_texts import read_rules, shipped_rule_set_texts
from surveys.arithmetic.simulated_walls import BOW_MM, FALL_MM, LEAN_MM
from surveys.arithmetic.simulation import CASES, StudyResult, study
from surveys.services.fit_rules import read_priors

BAR = 40
# Name of the figure, its heading, its bar, and whether it is a share.
COLUMNS = (
    ("false_fits", "too wide", "3 %", True),
    ("false_fits_by_height", "too high", "3 %", True),
    ("breaks_by_2_mm", "by 2 mm", "1 %", True),
    ("breaks", "at all", "", True),
    ("undecided", "undecided", "10 %", True),
    ("contradicted", "accused", "3 %", True),
    ("asked", "asked", "", False),
    ("contradicted_with_more", "accused+5", "3 %", True),
    ("false_fits_with_more", "too wide+5", "3 %", True),
    ("false_fits_swapped", "swapped", "3 %", True),
    ("blunders_reported", "reported", "95 %", True),
    ("culprits_named", "named", "90 %", True),
    ("suspects", "suspects", "4", False),
    ("thumb_breaks", "thumb", "", True),
    ("thumb_breaks_by_2_mm", "by 2 mm", "", True),
)
LEGEND = """
too wide, too high   fits claimed for a frame 0 to 2 mm too large; +5: with five more readings
by 2 mm, at all      frames ordered at largest_frame that break a clearance
undecided            with 5 mm to spare each way, after at most six asked readings
accused              a sound survey called contradictory
asked                readings asked for until the verdict is settled, on average
swapped              too high, with the sill's levels the other way up, and nothing asked about it
reported, named      blunders of 18 mm or more; suspects: how many are named, on average
hook known, second   a hook bent by 1.5 mm, against two known lengths, or widths of a second tape
thumb                frames ordered at the smallest width less clearance that break it
"""


class Command(BaseCommand):
    help = "Simulate surveys of openings whose truth is known and print how often they mislead."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--surveys", type=int, default=1000, help="of each shape of wall")
        parser.add_argument("--seed", type=int, default=1)
        parser.add_argument("--shapes", nargs="*", choices=list(CASES), default=list(CASES))

    def handle(self, *args: Any, **options: Any) -> None:
        total = options["surveys"]
        if total < 1:
            raise CommandError("--surveys: give 1 or more")
        priors = read_priors(read_rules(shipped_rule_set_texts()[0]))
        self.stdout.write(
            f"{total} surveys a shape, seed {options['seed']}; leans, falls and bows drawn with "
            f"{LEAN_MM:g}, {FALL_MM:g} and {BOW_MM:g} mm standard deviation"
        )
        self._write("", [heading for _, heading, *_ in COLUMNS])
        self._write("bar", [bar for *_, bar, _ in COLUMNS])
        for name in options["shapes"]:
            result = study(name, total, options["seed"], priors, self._show(name, total))
            self._write(name.replace("_", " "), [_figure(result, *column) for column in COLUMNS])
        self.stdout.write(LEGEND)

    def _write(self, name: str, cells: list[str]) -> None:
        self.stdout.write(f"{name:17}" + "".join(f"{cell:>11}" for cell in cells))

    def _show(self, name: str, total: int) -> Any:
        def show(done: int) -> None:
            filled = BAR * done // total
            bar = "=" * filled + " " * (BAR - filled)
            end = "\n" if done == total else ""
            self.stderr.write(f"\r[{bar}] {done} of {total} surveys, {name}", ending=end)

        return show


def _figure(result: StudyResult, name: str, _heading: str, _bar: str, share: bool) -> str:
    value = getattr(result, name)
    return f"{value:.1%}" if share else f"{value:.1f}"
