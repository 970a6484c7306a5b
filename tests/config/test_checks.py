"""What the service refuses to start with, where people reach it through TLS."""

import os
import sqlite3
import subprocess
import sys
from pathlib import Path

import pytest

from config.checks import production_is_safe

PROJECT_DIR = Path(__file__).resolve().parent.parent.parent
LONG_KEY = "fifty-characters-or-more-that-nobody-outside-could-guess"
SAFE = {
    "BEHIND_TLS": True,
    "DEBUG": False,
    "SECRET_KEY": LONG_KEY,
    "SECRET_KEY_IS_GIVEN": True,
    "METRICS_TOKEN": "",
    "ALLOWED_HOSTS": ["records.example.com"],
    "PUBLIC_ADDRESS": "https://records.example.com",
    "EMAIL_URL": "smtp://mail.example.com:25",
    "WEB_CONCURRENCY": 2,
    "CELERY_TASK_ALWAYS_EAGER": False,
    "REDIS_URL": "redis://redis:6379/0",
}
POSTGRES, SQLITE = "django.db.backends.postgresql", "django.db.backends.sqlite3"


@pytest.fixture
def told(settings, monkeypatch):
    """What is told of a production that is safe but for the changes."""

    def messages(engine=POSTGRES, **changes) -> list[str]:
        for name, value in (SAFE | changes).items():
            setattr(settings, name, value)
        monkeypatch.setitem(settings.DATABASES["default"], "ENGINE", engine)
        return [message.msg for message in production_is_safe(None)]

    return messages


def test_a_production_as_it_should_be_has_nothing_against_it(told):
    assert told() == []


@pytest.mark.parametrize(
    ("changes", "why"),
    [
        ({"SECRET_KEY_IS_GIVEN": False}, "made in the data folder"),
        ({"SECRET_KEY": "short"}, "SECRET_KEY is guessed"),
        ({"DEBUG": True}, "DEBUG"),
        ({"METRICS_TOKEN": "short"}, "METRICS_TOKEN is guessed"),
        ({"ALLOWED_HOSTS": ["*"]}, "every name"),
        ({"PUBLIC_ADDRESS": "http://127.0.0.1:8000"}, "leads nowhere"),
        ({"EMAIL_URL": ""}, "reach nobody"),
        ({"REDIS_URL": ""}, "counts wrong passwords for itself"),
    ],
)
def test_each_unsafe_setting_is_told(told, changes, why):
    (message,) = told(**changes)
    assert why in message


@pytest.mark.parametrize(
    ("changes", "refused"),
    [
        ({}, True),
        ({"WEB_CONCURRENCY": 1}, True),
        ({"WEB_CONCURRENCY": 1, "CELERY_TASK_ALWAYS_EAGER": True}, False),
    ],
)
def test_sqlite_is_for_one_process(told, changes, refused):
    messages = told(SQLITE, **changes)
    assert bool(messages) is refused


def test_a_public_address_with_tls_is_production_too(told):
    assert told(BEHIND_TLS=False, ALLOWED_HOSTS=["*"]) != []


def test_on_ones_own_machine_anything_goes(told):
    unsafe = {"BEHIND_TLS": False, "PUBLIC_ADDRESS": "http://127.0.0.1:8000", "DEBUG": True}
    assert told(SQLITE, ALLOWED_HOSTS=["*"], **unsafe) == []


def started(*command: str, **environment: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, *command],
        cwd=PROJECT_DIR,
        env={"PATH": os.environ["PATH"], "BEHIND_TLS": "true", **environment},
        capture_output=True,
        text=True,
        check=False,
        timeout=120,
    )


@pytest.mark.parametrize("command", ["config.wsgi", "config.settings"])
@pytest.mark.parametrize(
    ("environment", "why"),
    [
        ({"SECRET_KEY": "short"}, "SECRET_KEY is guessed"),
        ({"SECRET_KEY": LONG_KEY, "DEBUG": "true"}, "DEBUG shows"),
    ],
)
def test_what_cannot_be_meant_ends_every_process_at_its_start(command, environment, why, tmp_path):
    ended = started("-c", f"import {command}", SILLWRIGHT_DATA_DIR=str(tmp_path), **environment)
    assert ended.returncode != 0
    assert f"ImproperlyConfigured: {why}" in ended.stderr


@pytest.mark.parametrize("part", ["gunicorn", "celery"])
def test_neither_the_web_server_nor_a_worker_starts_with_a_short_key(part, tmp_path):
    command = {
        "gunicorn": ["-m", "gunicorn", "config.wsgi", "--bind", "127.0.0.1:0"],
        "celery": ["-m", "celery", "-A", "config", "worker"],
    }[part]
    ended = started(*command, SILLWRIGHT_DATA_DIR=str(tmp_path), SECRET_KEY="short")
    assert ended.returncode != 0
    assert "SECRET_KEY is guessed too easily" in ended.stderr + ended.stdout


def test_an_unsafe_production_is_not_migrated_so_nothing_starts(tmp_path):
    ended = started("manage.py", "migrate", SILLWRIGHT_DATA_DIR=str(tmp_path), SECRET_KEY=LONG_KEY)
    assert ended.returncode != 0
    assert "Certificates would print an address that leads nowhere" in ended.stderr
    with sqlite3.connect(tmp_path / "sillwright.sqlite3") as database:
        assert database.execute("SELECT name FROM sqlite_master").fetchall() == []
