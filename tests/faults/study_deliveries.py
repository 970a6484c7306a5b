"""Workers are killed at random moments, Redis is restarted, the mail server refuses at random.

    DATABASE_URL=postgres://... python -m tests.faults.study_deliveries --kills 200 --seed 1

Prints what came of it and exits with 1 when a job ends without exactly one current certificate, a
version without exactly one accepted letter, or the journal broken. A letter that a worker handed
over just before it died is handed over again under the same Message-ID; those are counted.
"""

import argparse
import sys
import time
from pathlib import Path
from random import Random
from typing import Any

import django

from tests.faults.stage import Redis, Worker, stage

# Of the time that a fresh worker needs for its first certificate on this machine.
LONGEST_LIFE = 2.0
REDIS_RESTARTS_EVERY = 10
LAST_WORDS_SECONDS = 600
REFUSES = 0.3
ONE_AT_A_TIME = ("--concurrency", "1")


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--kills", type=int, default=200)
    parser.add_argument("--jobs", type=int, default=12)
    parser.add_argument("--seed", type=int, default=1)
    given = parser.parse_args()
    with stage() as (folder, redis, postman):
        wrong = _study(given, folder, redis, postman)
    for trouble in wrong:
        print(f"WRONG: {trouble}")
    sys.exit(bool(wrong))


def _study(given: argparse.Namespace, folder: Path, redis: Redis, postman: Any) -> list[str]:
    django.setup()
    from django.core.management import call_command  # noqa: PLC0415 records need the stage

    from tests.faults.certificates import Firm, what_is_wrong  # noqa: PLC0415
    from tests.faults.hurry import hurry  # noqa: PLC0415

    hurry()
    call_command("migrate", verbosity=0)
    call_command("load_rule_sets", verbosity=0)
    random = Random(given.seed)
    firm = Firm.founded(given.jobs)
    longest_life = LONGEST_LIFE * _seconds_for_the_first_certificate(folder)
    postman.refuses = REFUSES
    lives = [random.uniform(0, longest_life) for _ in range(given.kills)]
    _kill_and_kill(lives, random, firm, folder, redis)
    postman.refuses = 0.0
    _let_one_finish(firm, folder, given.kills)
    _tell(given, postman)
    return what_is_wrong(firm, postman)


def _seconds_for_the_first_certificate(folder: Path) -> float:
    from reports.models import Document  # noqa: PLC0415

    worker = Worker(folder, "first", *ONE_AT_A_TIME)
    worker.wait_until_ready()
    begun = time.monotonic()
    while not Document.objects.made().exists():
        time.sleep(0.02)
    worker.kill()
    return time.monotonic() - begun


def _kill_and_kill(
    lives: list[float], random: Random, firm: Any, folder: Path, redis: Redis
) -> None:
    """Two workers at a time; the older one dies after so many seconds of its life alone."""
    working, next_one = Worker(folder, 0, *ONE_AT_A_TIME), Worker(folder, 1, *ONE_AT_A_TIME)
    working.wait_until_ready()
    for kill, life in enumerate(lives):
        firm.ask_at_random(random)
        time.sleep(life)
        working.kill()
        if kill % REDIS_RESTARTS_EVERY == REDIS_RESTARTS_EVERY - 1:
            redis.restart()
        working, next_one = next_one, Worker(folder, kill + 2, *ONE_AT_A_TIME)
        working.wait_until_ready()
    for left in (working, next_one):
        left.kill()


def _let_one_finish(firm: Any, folder: Path, kills: int) -> None:
    worker = Worker(folder, kills + 2, *ONE_AT_A_TIME)
    until = time.monotonic() + LAST_WORDS_SECONDS
    while time.monotonic() < until and not firm.everything_is_done():
        time.sleep(0.5)
    worker.kill()


def _tell(given: argparse.Namespace, postman: Any) -> None:
    from reports.models import DispatchAttempt, Document  # noqa: PLC0415

    asked = Document.objects.count()
    made = Document.objects.made().count()
    tries = DispatchAttempt.objects.count()
    cut_off = DispatchAttempt.objects.filter(finished_at=None).count()
    twice = sum(count - 1 for count in postman.taken.values())
    restarts = given.kills // REDIS_RESTARTS_EVERY
    print(f"{given.kills} workers killed, Redis restarted {restarts} times, seed {given.seed}")
    print(f"{asked} certificates asked for in {given.jobs} jobs, {made} made before they fell")
    print(f"{tries} tries to send, {cut_off} cut off midway, {postman.refused} refused")
    print(f"{len(postman.taken)} letters taken, {twice} of them again under the same Message-ID")


if __name__ == "__main__":
    main()
