"""The promises of the service, each with the figure reached, in one run.

    DATABASE_URL=postgres://postgres@127.0.0.1:5432/postgres python -m benchmarks.promises

Needs PostgreSQL (as a superuser, to make databases of its own), `redis-server`, 35 GB and about an
hour; `--short` takes few of everything and some minutes. Ends with 1 when something that must never
happen did; a ratio above its bar is printed and ends nothing, as it depends on the machine too.
"""

import argparse
import re
import subprocess
import sys
from collections.abc import Callable
from dataclasses import dataclass

LAST_LINES = 12


@dataclass(frozen=True, slots=True)
class Promise:
    """`whole` and `short` are the arguments of the Python that shows it, and `short` is None where
    any run of the tests tries the same few, whatever database it is on; `figure` reads what was
    reached from what that prints. `bar` is the highest ratio that keeps it, where it is one, and
    `otherwise` says why it may be higher."""

    words: str
    whole: list[str]
    short: list[str] | None
    figure: Callable[[str], str]
    bar: float | None = None
    otherwise: str = ""


class NothingTold(Exception):
    """A study ended well and said nothing of what it is run for."""


def _lines(pattern: str) -> Callable[[str], str]:
    def read(output: str) -> str:
        if not (figures := re.findall(pattern, output, re.MULTILINE)):
            raise NothingTold
        return "; ".join(figures)

    return read


def _ratios(*names: str) -> Callable[[str], str]:
    """The last number of each line that begins so."""

    def read(output: str) -> str:
        figures = []
        for name in names:
            lines = [line for line in output.splitlines() if line.startswith(name)]
            if not (lines and (numbers := re.findall(r"\d+\.\d+", lines[0]))):
                raise NothingTold
            figures.append(f"{name} {numbers[-1]}")
        return ", ".join(figures)

    return read


PASSED = _lines(r"^=* ?(\d+ passed.*?|\d+ failed.*?)(?: in .*)?$")
PYTEST = ["-m", "pytest", "-q", "--numprocesses", "auto", "--dist", "loadfile"]
LONG = ["--hypothesis-profile", "long"]
PROPERTIES = [
    "tests/installs/test_fixing_layout_properties.py",
    "tests/installs/test_packers_properties.py",
    "tests/jobs/test_doorset_properties.py",
    "tests/surveys/test_opening_fit_properties.py",
]
HOSTILE_FILES = ["tests/reports/test_paper.py", "tests/surveys/test_photos.py"]
SCALE = ["-m", "benchmarks.scale"]
SMALL_SCALE = [*SCALE, "--sizes", "1000", "10000"]
PROMISES = [
    Promise(
        "A worker killed at any point: one current certificate a job, one letter a version; a "
        "letter that the server took and had not yet said so goes out again as the same one",
        ["-m", "tests.faults.study_deliveries", "--kills", "100"],
        ["-m", "tests.faults.study_deliveries", "--kills", "8", "--jobs", "3"],
        _lines(r"^(\d+ (?:workers|certificates|letters).*)$"),
    ),
    Promise(
        "A client cut off at any point, sent again in any order: the same records",
        ["-m", "tests.installs.study_queue", "--schedules", "100"],
        ["-m", "tests.installs.study_queue", "--schedules", "5"],
        _lines(r"^(ended in other records.*)$"),
    ),
    Promise(
        "Uneven gaps: the cause named right, in frames whose fault geometry alone drew",
        ["-m", "tests.checks.study_gap_causes", "--chains", "300"],
        ["-m", "tests.checks.study_gap_causes", "--chains", "20"],
        _lines(r"^([a-z ]+: .*%)$"),
    ),
    Promise(
        "The connection to the database lost midway: all or nothing, the journal intact",
        [*PYTEST, "tests/faults/test_lost_database.py", "tests/faults/test_tampering.py"],
        [*PYTEST, "tests/faults/test_lost_database.py", "tests/faults/test_tampering.py"],
        PASSED,
    ),
    Promise(
        "Hostile input: no answer of 500, as described; nothing fetched, nothing unescaped",
        [*PYTEST, *LONG, "tests/api_description", *HOSTILE_FILES],
        [*PYTEST, "tests/api_description"],
        PASSED,
    ),
    Promise(
        "Gates: whatever is done about a job, in whatever order, no certificate comes of it that "
        "is not deserved",
        [*PYTEST, *LONG, "tests/reports/test_gates_machine.py"],
        [*PYTEST, "tests/reports/test_gates_machine.py"],
        PASSED,
    ),
    Promise(
        "A certificate altered in any byte or part: the file alone gives it away",
        ["-m", "tests.reports.study_altered_papers", "--changes", "2000"],
        ["-m", "tests.reports.study_altered_papers", "--changes", "100"],
        _lines(r"^(\d+ alterations of .*)$"),
    ),
    Promise(
        "Records altered by SQL: every column, row and file that the journal holds is found, and "
        "no certificate comes of it",
        [*PYTEST, "tests/upkeep/test_altered_records.py", "tests/reports/test_altered_records.py"],
        None,
        PASSED,
    ),
    Promise(
        "A phone whose battery dies at any point loses nothing and does nothing twice",
        [*PYTEST, *LONG, "tests/demo/test_killed_phone.py"],
        None,
        PASSED,
    ),
    Promise(
        "Calculations: what holds of every opening, doorset, layout and stack of packers",
        [*PYTEST, *LONG, *PROPERTIES],
        None,
        PASSED,
    ),
    Promise(
        "Permissions: every route with every role, and whose record it is",
        [*PYTEST, "tests/permissions"],
        [*PYTEST, "tests/permissions"],
        PASSED,
    ),
    Promise(
        "Lists: the same queries on every page, the time among most jobs over that among fewest",
        SCALE,
        SMALL_SCALE,
        _ratios("list of jobs, API", "list of jobs, page", "a fitter's own jobs, page"),
        bar=1.5,
        otherwise="a fitter's own jobs are all found before they are sorted, and two hundred "
        "fitters share a million",
    ),
    Promise(
        "Overhead: a call of the API over a plain view that does the same SQL",
        SCALE,
        SMALL_SCALE,
        _ratios("read a job", "read a list", "store a customer"),
        bar=2.0,
    ),
    Promise(
        "Overhead: a certificate, drawn, recorded and signed, over WeasyPrint alone",
        ["-m", "benchmarks", "papers"],
        ["-m", "benchmarks", "papers"],
        _ratios("certificate, drawn and signed"),
        bar=1.1,
        otherwise="the record is attached and the finished paper is read again to be signed",
    ),
]


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--short", action="store_true")
    short = parser.parse_args().short
    runs: dict[tuple[str, ...], subprocess.CompletedProcess[str]] = {}
    rows = []
    for promise in PROMISES:
        arguments = promise.short if short else promise.whole
        if arguments is None:
            continue
        command = tuple(arguments)
        if command not in runs:
            runs[command] = _run(command)
        rows.append(_row(promise, runs[command]))
    print("\n".join(row for row, _ in rows))
    sys.exit(any(broken for _, broken in rows))


def _run(command: tuple[str, ...]) -> subprocess.CompletedProcess[str]:
    print(f"... python {' '.join(command)}", flush=True)
    done = subprocess.run([sys.executable, *command], capture_output=True, text=True, check=False)
    if done.returncode or command[:2] == tuple(SCALE):
        print(done.stdout)
    if done.returncode:
        print("\n".join(done.stderr.splitlines()[-LAST_LINES:]))
    return done


def _row(promise: Promise, done: subprocess.CompletedProcess[str]) -> tuple[str, bool]:
    """The line about a promise, and whether something happened that never must."""
    try:
        figure = promise.figure(done.stdout)
    except NothingTold:
        return f"BROKEN    {promise.words}: its output has no figure", True
    if done.returncode:
        return f"BROKEN    {promise.words}: {figure}", True
    if promise.bar is None or _highest(figure) <= promise.bar:
        bar = f" (bar {promise.bar:g})" if promise.bar else ""
        return f"kept      {promise.words}: {figure}{bar}", False
    why = f", since {promise.otherwise}" if promise.otherwise else ""
    return f"not kept  {promise.words}: {figure} (bar {promise.bar:g}){why}", False


def _highest(figure: str) -> float:
    return max(float(number) for number in re.findall(r"\d+\.\d+", figure))


if __name__ == "__main__":
    main()
