"""Applies every mutation of the list, one by one, and says which of them no test notices.

    python -m tests.mutations [--jobs 2] [NAME ...]

Each runs in a copy of the working tree, so that nothing of yours is changed. Ends with 1 where a
mutation lives, or no longer applies.
"""

import argparse
import os
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from pathlib import Path
from queue import Queue

from tests.mutations.mutation import DoesNotApply, Mutation, mutations

PROJECT_DIR = Path(__file__).resolve().parents[2]
LEFT_OUT = shutil.ignore_patterns(".git", ".venv", ".*_cache", "__pycache__", "var", ".hypothesis")
# No test of the lists runs for longer; one that hangs has noticed.
LONGEST_S = 300
ALL_PASSED, SOME_FAILED = 0, 1


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--jobs", type=int, default=2, help="how many at a time")
    parser.add_argument("names", nargs="*", help="how their names begin; all without one")
    asked = parser.parse_args()
    begin = time.monotonic()
    with tempfile.TemporaryDirectory() as folder:
        copies: Queue[Path] = Queue()
        for number in range(asked.jobs):
            copies.put(_copy(Path(folder) / str(number)))
        chosen = mutations(*asked.names)
        _check_that_all_pass_before(chosen, Path(folder) / "0")
        with ThreadPoolExecutor(asked.jobs) as pool:
            outcomes = list(pool.map(lambda mutation: _tried(mutation, copies), chosen))
    lives = [outcome for outcome in outcomes if outcome != "dies"]
    seconds = time.monotonic() - begin
    print(f"{len(outcomes)} mutations, {len(outcomes) - len(lives)} die, {seconds:.0f} s")
    sys.exit(1 if lives else 0)


def _check_that_all_pass_before(chosen: list[Mutation], copy: Path) -> None:
    """A test that fails anyway would seem to notice everything."""
    tests = dict.fromkeys(test for mutation in chosen for test in mutation.tests)
    done = _pytest(copy, *tests)
    if done.returncode != ALL_PASSED:
        sys.exit(f"Without any mutation the tests do not pass:\n{done.stdout.decode()[-3000:]}")


def _copy(folder: Path) -> Path:
    shutil.copytree(PROJECT_DIR, folder, ignore=LEFT_OUT)
    return folder


def _tried(mutation: Mutation, copies: "Queue[Path]") -> str:
    copy = copies.get()
    try:
        outcome = _outcome(mutation, copy)
    finally:
        copies.put(copy)
    print(f"{outcome:16} {mutation.name}", flush=True)
    return outcome


def _outcome(mutation: Mutation, copy: Path) -> str:
    try:
        with _applied(mutation, copy):
            return _ran(mutation, copy)
    except DoesNotApply as error:
        print(error, flush=True)
        return "does not apply"


@contextmanager
def _applied(mutation: Mutation, copy: Path) -> Iterator[None]:
    file = copy / mutation.file
    text = file.read_text()
    file.write_text(mutation.mutated(text))
    try:
        yield
    finally:
        file.write_text(text)


def _ran(mutation: Mutation, copy: Path) -> str:
    """What its tests say: `dies` where one fails, `lives` where all pass."""
    try:
        done = _pytest(copy, "-x", *mutation.tests, timeout=LONGEST_S)
    except subprocess.TimeoutExpired:
        return "dies"
    if done.returncode not in (ALL_PASSED, SOME_FAILED):
        print(done.stdout.decode()[-2000:], flush=True)
        return "cannot be tried"
    return "lives" if done.returncode == ALL_PASSED else "dies"


def _pytest(
    copy: Path, *words: str, timeout: float | None = None
) -> subprocess.CompletedProcess[bytes]:
    # Bytecode is told apart by the second: two mutations of a file within one would be one.
    env = os.environ | {"PYTHONDONTWRITEBYTECODE": "1", "CI": "true"}
    env["SILLWRIGHT_DATA_DIR"] = str(copy / "var")
    pytest = [sys.executable, "-m", "pytest", "-q", "-n0", "-p", "no:cacheprovider"]
    return subprocess.run(
        [*pytest, *words], cwd=copy, env=env, capture_output=True, timeout=timeout, check=False
    )


if __name__ == "__main__":
    main()
