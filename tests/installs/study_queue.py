"""Sends a whole day of fitting through a thousand bad networks, on a database of its own.

    python -m tests.installs.study_queue --schedules 1000 --seed 1
    python -m tests.installs.study_queue --crew --schedules 1000 --seed 1

Prints what was answered and which schedules ended in other records than an undisturbed one; ends
with 0 when none did. It takes seconds for each schedule: the suite tries fewer, on a shorter day.
With `--crew` two phones are refused, cured and repeat what they recorded; it prints how many
schedules lost something, doubled something, stuck or left a flaw in the journal.
"""

import argparse
import os

import django
from django.conf import settings
from django.test.utils import get_runner, override_settings, setup_test_environment


def main() -> None:
    words = argparse.ArgumentParser(description=__doc__)
    words.add_argument("--schedules", type=int, default=1000)
    words.add_argument("--seed", type=int, default=1)
    words.add_argument("--crew", action="store_true")
    asked = words.parse_args()
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "config.settings")
    django.setup()
    setup_test_environment()
    runner = get_runner(settings)(verbosity=0, interactive=False)
    databases = runner.setup_databases()
    try:
        studied = _crews_studied if asked.crew else _studied
        failed = studied(asked.schedules, asked.seed)
    finally:
        runner.teardown_databases(databases)
    raise SystemExit(failed)


@override_settings(PASSWORD_HASHERS=["django.contrib.auth.hashers.MD5PasswordHasher"])
def _studied(schedules: int, seed: int) -> bool:
    # Models exist only once Django is set up.
    from tests.installs import queue_study  # noqa: PLC0415

    stage = queue_study.prepare()
    failed = queue_study.differing(stage, schedules, seed)
    print(f"{len(stage.queue)} operations, answered: {dict(stage.told)}")
    print(f"ended in other records: {len(failed)} of {schedules} {failed or ''}")
    return bool(failed)


@override_settings(PASSWORD_HASHERS=["django.contrib.auth.hashers.MD5PasswordHasher"])
def _crews_studied(schedules: int, seed: int) -> bool:
    """Half of the schedules at the start of a fitting, half at its running gear."""
    from tests.installs import crew_study  # noqa: PLC0415

    failed = False
    for number, crew in enumerate(crew_study.crews()):
        verdicts = crew_study.judged(crew, range(number, schedules, 2), seed)
        print(f"answered: {dict(crew.answered)}; of {schedules // 2} schedules: {dict(verdicts)}")
        failed = failed or any(verdicts.values())
    return failed


if __name__ == "__main__":
    main()
