"""`celery` with the service's own tasks, whose waits are seconds (see `hurry`)."""

import sys

import django

from config.celery import app
from tests.faults.hurry import hurry


def main() -> None:
    django.setup()
    hurry()
    app.conf.beat_schedule = {"sweep-outbox": {"task": "reports.tasks.sweep", "schedule": 1.0}}
    app.conf.broker_transport_options = {"visibility_timeout": 5}
    app.start(sys.argv[1:])


if __name__ == "__main__":
    main()
