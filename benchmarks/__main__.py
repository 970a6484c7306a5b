"""`python -m benchmarks`: time of each calculation, beside a stated floor, all in one run; with
names of rooms, such as `papers`, only of those."""

import os
import sys
from typing import Any

import django

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "config.settings")
django.setup()

from benchmarks import doorset, fitting, opening_fit, packers, papers  # noqa: E402 records need the settings
from benchmarks.case import Case  # noqa: E402
from benchmarks.timing import time_in_turns  # noqa: E402

ROOMS: dict[str, Any] = {
    "opening_fit": opening_fit,
    "doorset": doorset,
    "fitting": fitting,
    "packers": packers,
    "papers": papers,
}


def main() -> None:
    print(
        f"{'microseconds a call':34} {'best':>9} {'median':>9}   ratio to the floor, and what it is"
    )
    for name in sys.argv[1:] or ROOMS:
        room = ROOMS[name]
        for case in room.cases():
            print(_row(case))
    print("Wherever a floor is named, both gave the same answer.")


def _row(case: Case) -> str:
    if case.agree:
        case.agree()
    ways = [case.work] if case.floor is None else [case.work, case.floor]
    ours, *floor = time_in_turns(*ways, repeats=case.repeats)
    line = f"{case.name:34} {ours.best:9.1f} {ours.median:9.1f}"
    if not floor:
        return line
    ratio = ours.median / floor[0].median
    compared = f"{1 / ratio:.1f} times as fast as" if ratio < 1 else f"{ratio:.2f} times as long as"
    return f"{line}   {compared} {case.floor_words}"


if __name__ == "__main__":
    main()
