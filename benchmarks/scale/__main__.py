"""The service among a thousand, a hundred thousand and a million jobs, on PostgreSQL.

    DATABASE_URL=postgres://postgres@127.0.0.1:5432/postgres python -m benchmarks.scale

Makes a database of its own on that server (as a superuser; a million jobs take 30 GB or less and
about a quarter of an hour), and drops it at the end. `--sizes` measures at others.
"""

import argparse
import os
import shutil
import sys
import tempfile
from time import perf_counter
from typing import Any

import django

from tests.own_database import own_database

SIZES = [1_000, 100_000, 1_000_000]


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--sizes", type=int, nargs="+", default=SIZES)
    sizes = sorted(parser.parse_args().sizes)
    folder = tempfile.mkdtemp(prefix="sillwright-benchmark-")
    try:
        with own_database("scale") as database:
            os.environ |= {
                "DJANGO_SETTINGS_MODULE": "config.settings",
                "DATABASE_URL": database,
                "REDIS_URL": "",
                "CELERY_BROKER_URL": "",
                "SILLWRIGHT_DATA_DIR": folder,
                "ALLOWED_HOSTS": "testserver,127.0.0.1",
                "SECRET_KEY": "one key for the benchmark and its web server, nowhere else",
                "LOG_LEVEL": "CRITICAL",
            } | {f"THROTTLE_{who}": "1000000/min" for who in ("USER", "ANON", "VERIFICATION")}
            _run(sizes)
    finally:
        shutil.rmtree(folder, ignore_errors=True)


def _run(sizes: list[int]) -> None:
    django.setup()
    from django.core.management import call_command  # noqa: PLC0415 records need the settings
    from django.db import connections  # noqa: PLC0415

    from benchmarks.scale.calls import calls, measure  # noqa: PLC0415
    from benchmarks.scale.copies import copy_jobs  # noqa: PLC0415
    from benchmarks.scale.exemplars import found_firm  # noqa: PLC0415
    from benchmarks.scale.load import loads  # noqa: PLC0415
    from benchmarks.scale.overhead import overheads  # noqa: PLC0415

    call_command("migrate", verbosity=0)
    call_command("load_rule_sets", verbosity=0)
    firm = found_firm()
    measured: dict[str, list[Any]] = {}
    for begin, size in zip([0, *sizes], sizes, strict=False):
        begun = perf_counter()
        copy_jobs(firm, begin + 1, size)
        print(f"{size} jobs, {_gigabytes()}, copied in {perf_counter() - begun:.0f} s")
        sys.stdout.flush()
        for name, call in calls(firm).items():
            measured.setdefault(name, []).append(measure(call))
    _tell(sizes, measured)
    print(
        "milliseconds, at best            its SQL alone   plain view      API   API to plain view"
    )
    for overhead in overheads(firm):
        print(
            f"{overhead.name:31} {overhead.statements:14.2f} {overhead.plain:12.2f}"
            f" {overhead.api:8.2f}{overhead.api / overhead.plain:20.2f}"
        )
    print("two web processes, eight clients  answers/s  median ms  slowest 1 % ms  failed")
    for name, load in loads(firm):
        print(
            f"{name:31} {load.per_second:11.0f} {load.median:10.1f} {load.slowest:15.1f}"
            f" {load.failed:7}"
        )
    connections.close_all()


def _gigabytes() -> str:
    from django.db import connection  # noqa: PLC0415

    with connection.cursor() as cursor:
        cursor.execute("SELECT pg_database_size(current_database())")
        return f"{cursor.fetchone()[0] / 1e9:.2f} GB"


def _tell(sizes: list[int], measured: dict[str, list[Any]]) -> None:
    heads = "".join(f"{size:>12}" for size in sizes)
    print(f"{'milliseconds a call, at best':31} {'queries':>9}{heads}   largest to smallest")
    for name, timings in measured.items():
        queries = sorted({timing.queries for timing in timings})
        count = str(queries[0]) if len(queries) == 1 else f"{queries[0]}-{queries[-1]}"
        times = "".join(f"{timing.best:12.1f}" for timing in timings)
        print(f"{name:31} {count:>9}{times}   {timings[-1].best / timings[0].best:.2f}")


if __name__ == "__main__":
    main()
