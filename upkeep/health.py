"""Whether the process answers (`/health/`), and whether it can do its work (`/ready/`).

A health check asks often, from inside, and needs no sign-in: each part is told in a word or a few,
and nothing that an address or a password could be read from.

Why not django-health-check: from 4.9 on it needs Python 3.14; none of its checks knows migrations;
and its view, which is asynchronous, answers 500 where a part is away and names classes, not parts.
"""

import shutil
import tempfile
from collections.abc import Callable
from functools import cache as remembered
from pathlib import Path

from celery import current_app
from django.conf import settings
from django.core.cache import cache
from django.db import Error, connection
from django.db.migrations.loader import MigrationLoader
from django.db.migrations.recorder import MigrationRecorder
from django.http import HttpRequest, JsonResponse
from kombu.exceptions import OperationalError
from redis.exceptions import RedisError

OK, NOT_USED = "ok", "not used"
MEGABYTE = 1_000_000
BROKER_ANSWERS_WITHIN = {
    "socket_connect_timeout": 2,
    "socket_timeout": 2,
    "max_retries": 1,
    "interval_start": 0,
}


def alive(request: HttpRequest) -> JsonResponse:
    """The process takes requests; nothing else is looked at, so nothing else can restart it."""
    return JsonResponse({"alive": True})


def ready(request: HttpRequest) -> JsonResponse:
    """Every part that a request may need; 503 while one of them is not as it should be."""
    parts = {name: look() for name, look in PARTS.items()}
    fit = all(word in (OK, NOT_USED) for word in parts.values())
    return JsonResponse({"ready": fit, "parts": parts}, status=200 if fit else 503)


def _database() -> str:
    try:
        applied = MigrationRecorder(connection).applied_migrations()
    except Error:
        return "unreachable"
    missing = len(_known_migrations() - applied.keys())
    return f"{missing} migrations are not applied" if missing else OK


@remembered
def _known_migrations() -> frozenset[tuple[str, str]]:
    """Those of this very code; reading them takes longer than a health check should."""
    return frozenset(MigrationLoader(None).graph.nodes)


def _cache() -> str:
    try:
        cache.set("ready", True, 60)
        return OK if cache.get("ready") else "forgets"
    except (RedisError, OSError):
        return "unreachable"


def _broker() -> str:
    if settings.CELERY_TASK_ALWAYS_EAGER:
        return NOT_USED
    try:
        with current_app.connection_for_write(transport_options=BROKER_ANSWERS_WITHIN) as broker:
            # Reached with the first channel, not before.
            broker.default_channel.close()
    except (OperationalError, OSError):
        return "unreachable"
    return OK


def _storage() -> str:
    folder = Path(settings.MEDIA_ROOT)
    try:
        folder.mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryFile(dir=folder) as file:
            file.write(b"ready")
    except OSError:
        return "not writable"
    return OK


def _disk() -> str:
    try:
        free = shutil.disk_usage(settings.DATA_DIR).free // MEGABYTE
    except OSError:
        return "cannot be read"
    wanted: int = settings.READY_FREE_MB
    return OK if free >= wanted else f"{free} MB free, {wanted} MB wanted"


PARTS: dict[str, Callable[[], str]] = {
    "database": _database,
    "cache": _cache,
    "broker": _broker,
    "storage": _storage,
    "disk": _disk,
}
