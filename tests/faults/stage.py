"""The services of a study, all its own and all on this machine: they end with it.

PostgreSQL is the server named in `DATABASE_URL`, with a database made for the study.
"""

import os
import shutil
import signal
import socket
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from aiosmtpd.controller import Controller

from fixtures_demo.server import free_port
from tests.faults.postman import Postman
from tests.own_database import own_database

PROJECT_DIR = Path(__file__).resolve().parent.parent.parent
START_SECONDS = 60


class Redis:
    """A broker that forgets everything when it is restarted."""

    def __init__(self, folder: Path) -> None:
        self.port, self.folder = free_port(), folder
        self.start()

    @property
    def address(self) -> str:
        return f"redis://127.0.0.1:{self.port}/0"

    def start(self) -> None:
        command = ["redis-server", "--bind", "127.0.0.1", "--port", str(self.port)]
        command += ["--save", "", "--appendonly", "no", "--dir", str(self.folder)]
        self.process = subprocess.Popen(command, stdout=subprocess.DEVNULL)
        until = time.monotonic() + START_SECONDS
        while time.monotonic() < until:
            with socket.socket() as probe:
                if probe.connect_ex(("127.0.0.1", self.port)) == 0:
                    return
            time.sleep(0.05)
        raise TimeoutError("Redis did not start")

    def stop(self) -> None:
        self.process.kill()
        self.process.wait()

    def restart(self) -> None:
        self.stop()
        self.start()


class Worker:
    """A Celery worker with its scheduler, in a group of its own so that all of it dies at once."""

    def __init__(self, folder: Path, number: int | str, *options: str) -> None:
        self.log = folder / f"worker-{number}.log"
        command = [sys.executable, "-m", "tests.faults.hurried_worker", "worker", "--beat"]
        command += ["--hostname", f"worker-{number}@here", "--loglevel", "INFO"]
        command += ["--schedule", str(folder / f"beat-{number}"), *options]
        with self.log.open("wb") as told:
            self.process = subprocess.Popen(
                command, cwd=PROJECT_DIR, stdout=told, stderr=told, start_new_session=True
            )

    def wait_until_ready(self) -> None:
        until = time.monotonic() + START_SECONDS
        while time.monotonic() < until:
            if b"ready." in self.log.read_bytes():
                return
            time.sleep(0.02)
        raise TimeoutError(f"the worker did not start: {self.log.read_text()[-2000:]}")

    def kill(self) -> None:
        os.killpg(self.process.pid, signal.SIGKILL)
        self.process.wait()


@contextmanager
def stage() -> Iterator[tuple[Path, Redis, Postman]]:
    """Sets the environment for a study and for its workers; call it before Django is loaded."""
    folder = Path(tempfile.mkdtemp(prefix="sillwright-study-"))
    redis, postman = Redis(folder), Postman()
    mail = Controller(postman, hostname="127.0.0.1", port=free_port())
    mail.start()
    try:
        with own_database("study") as database:
            os.environ |= {
                "DJANGO_SETTINGS_MODULE": "config.settings",
                "DATABASE_URL": database,
                "CELERY_BROKER_URL": redis.address,
                "REDIS_URL": "",
                "EMAIL_URL": f"smtp://127.0.0.1:{mail.port}",
                "SILLWRIGHT_DATA_DIR": str(folder / "data"),
                "SECRET_KEY": "one key for the study and its workers, nowhere else",
                "LOG_LEVEL": "CRITICAL",
            }
            yield folder, redis, postman
    finally:
        mail.stop()
        redis.stop()
        shutil.rmtree(folder, ignore_errors=True)
