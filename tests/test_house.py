"""The house itself: what is pinned, and what starts in production."""

import os
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import yaml

PROJECT_DIR = Path(__file__).resolve().parent.parent
# Written in parts, so that this file does not name them either.
REGISTRY_HOSTS = [
    ".".join(parts)
    for parts in [
        ("pypi", "org"),
        ("pythonhosted", "org"),
        ("npmjs", "org"),
        ("npmjs", "com"),
        ("debian", "org"),
        ("docker", "io"),
        ("docker", "com"),
        ("ghcr", "io"),
        ("quay", "io"),
    ]
]
NOT_OURS = {"var", "static_collected", "node_modules"}


def compose() -> dict[str, Any]:
    return yaml.safe_load((PROJECT_DIR / "docker-compose.yml").read_text(encoding="utf-8"))


def signs_in(address: str) -> str:
    """The role in an address whose password is a variable."""
    return address.removeprefix("postgres://").partition(":")[0]


def pins(file_name: str) -> set[str]:
    """Such as `django==5.2.1`; an installation checks their hashes."""
    lines = (PROJECT_DIR / file_name).read_text(encoding="utf-8").splitlines()
    return {line.split()[0] for line in lines if line and not line.startswith(" ")}


def own_text_files() -> Iterator[tuple[Path, str]]:
    for path in PROJECT_DIR.rglob("*"):
        rooms = path.relative_to(PROJECT_DIR).parts
        hidden = any(
            room.startswith(".") and room not in {".ci", ".dockerignore"} for room in rooms
        )
        if hidden or NOT_OURS & set(rooms) or not path.is_file():
            continue
        try:
            yield path, path.read_text(encoding="utf-8")
        except UnicodeDecodeError:
            continue


def test_tests_run_with_the_very_versions_of_the_service() -> None:
    assert pins("requirements.txt") <= pins("requirements-dev.txt")


def test_no_file_of_ours_names_a_registry() -> None:
    naming = [
        f"{path.relative_to(PROJECT_DIR)}: {host}"
        for path, text in own_text_files()
        for host in REGISTRY_HOSTS
        if host in text
    ]
    assert naming == []


def test_production_starts_every_part_and_watches_over_it() -> None:
    services = compose()["services"]
    parts = {"database", "redis", "web", "worker", "scheduler", "mail"}
    assert parts | {"migrate"} == set(services)
    assert {name for name in parts if "healthcheck" not in services[name]} == set()


@pytest.mark.parametrize("name", ["web", "worker", "scheduler"])
def test_production_waits_for_the_migrations(name: str) -> None:
    waits_for = compose()["services"][name]["depends_on"]
    assert waits_for["migrate"] == {"condition": "service_completed_successfully"}


@pytest.mark.parametrize("name", ["web", "worker", "scheduler"])
def test_production_works_as_a_role_that_owns_no_table(name: str) -> None:
    services = compose()["services"]
    owner = services["database"]["environment"]["POSTGRES_USER"]
    environment, migrating = (services[part]["environment"] for part in (name, "migrate"))
    role = signs_in(environment["DATABASE_URL"])
    assert role != owner
    assert "SERVICE_DATABASE_PASSWORD" not in environment
    assert signs_in(migrating["DATABASE_URL"]) == owner
    migrate, grant, _ = services["migrate"]["command"].split("&&")
    assert "manage.py migrate" in migrate
    assert f"manage.py grant_rights {role}" in grant


def test_production_has_no_secret_of_its_own() -> None:
    environment = compose()["services"]["web"]["environment"]
    database = compose()["services"]["database"]["environment"]
    assert environment["SECRET_KEY"].startswith("${SECRET_KEY:?")
    assert database["POSTGRES_PASSWORD"].startswith("${POSTGRES_PASSWORD:?")


def test_a_command_that_computes_and_draws_nothing_does_not_wait_for_what_does() -> None:
    told = subprocess.run(
        [sys.executable, "-X", "importtime", "manage.py", "check"],
        cwd=PROJECT_DIR,
        capture_output=True,
        text=True,
        check=True,
    ).stderr
    loaded = {line.rpartition("|")[2].strip() for line in told.splitlines()}
    assert "jobs.rules" in loaded
    assert not loaded & {"numpy", "scipy", "weasyprint"}


def test_a_process_of_the_service_reckons_on_one_thread() -> None:
    """Told by the system, which has numpy's own threads in its list as well."""
    reckons = (
        "import django, os; django.setup(); import surveys.arithmetic.opening_fit; "
        "print(len(os.listdir('/proc/self/task')))"
    )
    environment = {n: v for n, v in os.environ.items() if n != "OPENBLAS_NUM_THREADS"}
    told = subprocess.run(
        [sys.executable, "-c", reckons],
        cwd=PROJECT_DIR,
        env=environment | {"DJANGO_SETTINGS_MODULE": "config.settings"},
        capture_output=True,
        text=True,
        check=True,
    ).stdout
    assert told == "1\n"
