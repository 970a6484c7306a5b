"""A phone whose battery dies at any time, and a real service that goes on working meanwhile."""

import json
import os
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path
from random import Random

import pytest

from fixtures_demo import server
from fixtures_demo.client import Client
from fixtures_demo.queue import Store
from tests.lengths import short_or_long

DEATHS = short_or_long(8, 100)
# From before it has started to well after it has sent what was left and noted more, in the time
# that a phone takes to start and find that there is nothing to send.
SHORTEST_LIFE, LONGEST_LIFE = 0.5, 3.0
# The phone's service brings its own database; what this run is set to is not its.
OWN_SETTINGS = ("DATABASE_URL", "REDIS_URL", "CELERY_BROKER_URL", "EMAIL_URL")


def run(env: dict[str, str], *arguments: str) -> "subprocess.Popen[str]":
    return subprocess.Popen(
        [sys.executable, "-m", *arguments],
        env=env,
        cwd=server.PROJECT_DIR,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )


def finished(process: "subprocess.Popen[str]") -> str:
    told, complaint = process.communicate(timeout=120)
    assert process.returncode == 0, complaint
    return told


@pytest.fixture
def env(tmp_path: Path) -> dict[str, str]:
    own = {name: value for name, value in os.environ.items() if name not in OWN_SETTINGS}
    return own | {
        "SILLWRIGHT_DATA_DIR": str(tmp_path),
        "THROTTLE_USER": "1000000/min",
        "LOG_LEVEL": "ERROR",
    }


@pytest.fixture
def phone(env: dict[str, str], tmp_path: Path) -> Iterator[list[str]]:
    """The service is up and a fitting planned: what the phone is started with."""
    stage = json.loads(finished(run(env, "tests.demo.killed_phone_stage")).splitlines()[-1])
    with server.running(env, server.free_port()) as address:
        file = str(tmp_path / "queue.sqlite3")
        yield ["tests.demo.killed_phone", address, stage["token"], stage["installation"], file]


def test_a_phone_killed_at_any_point_loses_nothing_and_does_nothing_twice(phone, env):
    begun = time.monotonic()
    finished(run(env, *phone, "--last"))
    start = time.monotonic() - begun
    chance = Random(1)
    deaths = 0
    for _ in range(DEATHS):
        process = run(env, *phone)
        try:
            process.wait(timeout=start * chance.uniform(SHORTEST_LIFE, LONGEST_LIFE))
        except subprocess.TimeoutExpired:
            process.kill()
            deaths += 1
        process.communicate()
    assert deaths == DEATHS
    finished(run(env, *phone, "--last"))

    _, address, token, installation, file = phone
    noted = [kept.operation["body"]["description"] for kept in Store(Path(file), "fitter").all()]
    assert noted == [f"Scratch {number}" for number in range(len(noted))]
    assert len(noted) > DEATHS // 10
    client = Client(address)
    client.token = token
    stored = client.all_of("defects", installation=installation)
    in_order = sorted(stored, key=lambda defect: defect["created_at"])
    assert [defect["description"] for defect in in_order] == noted
    assert "The journal holds" in server.manage(env, "verify_journal")
