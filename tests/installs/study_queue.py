"""Sends a whole day of fitting through a thousand bad networks, on a database of its own.

    python -m tests.installs.study_queue --schedules 1000 --seed 1

Prints what was answered and which schedules ended in other records than an undisturbed one; ends
with 0 when none did. It takes seconds for each schedule: the suite tries fewer, on a shorter day.
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
    asked = words.parse_args()
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "config.settings")
    django.setup()
    setup_test_environment()
    runner = get_runner(settings)(verbosity=0, interactive=False)
    databases = runner.setup_databases()
    try:
        failed = _studied(asked.schedules, asked.seed)
    finally:
        runner.teardown_databases(databases)
    print(f"ended in other records: {len(failed)} of {asked.schedules} {failed or ''}")
    raise SystemExit(bool(failed))


@override_settings(PASSWORD_HASHERS=["django.contrib.auth.hashers.MD5PasswordHasher"])
def _studied(schedules: int, seed: int) -> list[int]:
    # Models exist only once Django is set up.
    from tests.installs import queue_study  # noqa: PLC0415

    stage = queue_study.prepare()
    failed = queue_study.differing(stage, schedules, seed)
    print(f"{len(stage.queue)} operations, answered: {dict(stage.told)}")
    return failed


if __name__ == "__main__":
    main()
