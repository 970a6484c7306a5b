"""The studies of this folder, short: they need PostgreSQL and a Redis server to start."""

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from django.db import connection

PROJECT_DIR = Path(__file__).resolve().parent.parent.parent
pytestmark = [
    pytest.mark.own_database,
    pytest.mark.skipif(
        connection.vendor == "sqlite" or not shutil.which("redis-server"),
        reason="needs PostgreSQL and redis-server: set DATABASE_URL to a server",
    ),
]


def study(name: str, *options: str) -> "subprocess.CompletedProcess[str]":
    return subprocess.run(
        [sys.executable, "-m", f"tests.faults.{name}", *options],
        cwd=PROJECT_DIR,
        env=dict(os.environ),
        capture_output=True,
        text=True,
        check=False,
        timeout=400,
    )


def test_every_job_ends_with_one_certificate_and_one_letter_whenever_workers_die():
    done = study("study_deliveries", "--kills", "6", "--jobs", "2", "--seed", "7")
    assert done.returncode == 0, done.stdout + done.stderr
    assert "6 workers killed" in done.stdout


def test_a_worker_does_not_grow_with_what_it_has_made():
    done = study("study_worker_memory", "--certificates", "20")
    assert done.returncode == 0, done.stdout + done.stderr
    assert "20 certificates made" in done.stdout
