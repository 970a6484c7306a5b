"""What a service in production must not start with.

These are Django's system checks: `manage.py migrate` refuses with them, and `docker-compose.yml`
starts nothing before it has migrated. They look only where people reach the service through TLS;
on one's own machine anything goes.
"""

from collections.abc import Iterator
from typing import Any
from urllib.parse import urlsplit

from django.conf import settings
from django.core.checks import CheckMessage, Error, Tags, Warning, register
from django.db import DatabaseError

from jobs.database_rights import role_of_this_process, too_much

LOCAL_HOSTS = ("127.0.0.1", "localhost", "::1")
SHORTEST_TOKEN = 32


@register(Tags.security)
def production_is_safe(app_configs: Any, **more: Any) -> list[CheckMessage]:
    if not in_production():
        return []
    return [*_keys(), *_addresses(), *_parts()]


def in_production() -> bool:
    return settings.BEHIND_TLS or settings.PUBLIC_ADDRESS.startswith("https:")


def _keys() -> Iterator[CheckMessage]:
    if not settings.SECRET_KEY_IS_GIVEN:
        yield _error(
            1, "The key is the one that was made in the data folder.", "Set SECRET_KEY to your own."
        )
    elif len(settings.SECRET_KEY) < settings.SHORTEST_SECRET_KEY:
        yield _error(
            2,
            "SECRET_KEY is guessed too easily.",
            f"Give {settings.SHORTEST_SECRET_KEY} random characters or more.",
        )
    if settings.DEBUG:
        yield _error(3, "DEBUG shows what is inside to everybody.", "Leave DEBUG out.")
    if 0 < len(settings.METRICS_TOKEN) < SHORTEST_TOKEN:
        yield _error(
            4,
            "METRICS_TOKEN is guessed too easily.",
            f"Give {SHORTEST_TOKEN} random characters or more.",
        )


def _addresses() -> Iterator[CheckMessage]:
    if "*" in settings.ALLOWED_HOSTS:
        yield _error(
            5,
            "ALLOWED_HOSTS takes every name for ours.",
            "Name the hosts under which the service is reached.",
        )
    if urlsplit(settings.PUBLIC_ADDRESS).hostname in LOCAL_HOSTS:
        yield _error(
            6,
            "Certificates would print an address that leads nowhere.",
            "Set PUBLIC_ADDRESS to where customers reach the service.",
        )
    if not settings.EMAIL_URL:
        yield _error(
            7,
            "Letters would stay in a folder and reach nobody.",
            "Set EMAIL_URL to the mail server.",
        )


def _parts() -> Iterator[CheckMessage]:
    several = settings.WEB_CONCURRENCY > 1 or not settings.CELERY_TASK_ALWAYS_EAGER
    engine: str = settings.DATABASES["default"]["ENGINE"]
    if several and engine.endswith("sqlite3"):
        yield _error(
            8,
            "Several processes write one SQLite file.",
            "Set DATABASE_URL to PostgreSQL, or start one process without a broker.",
        )
    if settings.WEB_CONCURRENCY > 1 and not settings.REDIS_URL:
        yield _error(
            9,
            "Each process counts wrong passwords for itself.",
            "Set REDIS_URL, or start one process.",
        )


@register(Tags.security, deploy=True)
def role_cannot_change_the_journal(app_configs: Any, **more: Any) -> list[CheckMessage]:
    """Asked by `manage.py check --deploy` alone: migrations need the owner, so `migrate` is no
    place for it. A database that is away, or not migrated, is told of elsewhere."""
    try:
        beyond = too_much(role_of_this_process())
    except DatabaseError:
        return []
    if not beyond:
        return []
    return [
        Warning(
            f"The role of this process may change {len(beyond)} append-only tables: "
            f"{', '.join(beyond)}.",
            hint="Run manage.py grant_rights ROLE as their owner, and the service as that role.",
            id="sillwright.W010",
        )
    ]


def _error(number: int, message: str, hint: str) -> CheckMessage:
    return Error(message, hint=hint, id=f"sillwright.E{number:03}")
