"""Back by one migration and forward again, with a finished job in the database.

Each database is a copy of one that was filled for this: a file, or one on the same server.
"""

import json
import os
import shutil
import subprocess
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit, urlunsplit

import psycopg
import pytest
from psycopg import sql

OURS = ("jobs", "surveys", "installs", "reports")
PROJECT_DIR = Path(__file__).resolve().parent.parent.parent
SERVER = os.environ.get("DATABASE_URL", "")
pytestmark = pytest.mark.own_database


def happened(address: str, folder: Path, *what: str) -> Any:
    """In a process of its own, since migrations change what a process has read of the tables."""
    environment = {
        "PATH": os.environ["PATH"],
        "DJANGO_SETTINGS_MODULE": "config.settings",
        "DATABASE_URL": address,
        "SILLWRIGHT_DATA_DIR": str(folder),
    }
    done = subprocess.run(
        [sys.executable, "-m", "tests.faults.migrating", *what],
        cwd=PROJECT_DIR,
        env=environment,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stdout + done.stderr
    return json.loads(done.stdout)


@contextmanager
def _on_a_server(folder: Path) -> Iterator[Callable[[str], str]]:
    """Makes databases beside the one named, each a copy of the first, and takes them away."""
    parts = urlsplit(SERVER)
    made: list[str] = []

    def make(name: str) -> str:
        own = f"sillwright_{name}_{os.getpid()}"
        command = "CREATE DATABASE {} TEMPLATE {}" if made else "CREATE DATABASE {}"
        names = [own, made[0]] if made else [own]
        server.execute(sql.SQL(command).format(*map(sql.Identifier, names)))
        made.append(own)
        return urlunsplit(parts._replace(path=f"/{own}"))

    with psycopg.connect(urlunsplit(parts._replace(path="/postgres")), autocommit=True) as server:
        yield make
        for name in made:
            server.execute(sql.SQL("DROP DATABASE {} WITH (FORCE)").format(sql.Identifier(name)))


@contextmanager
def _in_files(folder: Path) -> Iterator[Callable[[str], str]]:
    made: list[Path] = []

    def make(name: str) -> str:
        own = folder / f"{name}.sqlite3"
        if made:
            shutil.copy(made[0], own)
        made.append(own)
        return f"sqlite:///{own}"

    yield make


@pytest.fixture(scope="module")
def on_a_copy(tmp_path_factory) -> Iterator[Callable[..., Any]]:
    """Lets something happen on a copy of the database."""
    folder = tmp_path_factory.mktemp("migrations")
    place = _on_a_server if SERVER.startswith("postgres") else _in_files
    with place(folder) as make:
        assert happened(make("filled"), folder, "fill")["rows"] > 100
        yield lambda *what: happened(make("_".join(what)), folder, *what)


def grown() -> list[str]:
    """Apps that have a migration after their first."""
    return [app for app in OURS if len(list((PROJECT_DIR / app / "migrations").glob("0*.py"))) > 1]


@pytest.mark.parametrize("app", grown())
def test_a_finished_job_survives_the_way_back_and_forward(on_a_copy, app):
    outcome = on_a_copy("survive", app)
    assert outcome["held"] > 100
    assert outcome["differs"] == []
    assert outcome["broken"] == []


def test_every_app_goes_back_to_nothing_and_comes_again(on_a_copy):
    outcome = on_a_copy("again")
    assert outcome["tables_left"] == []
    assert outcome["rows"] == 0
