"""The house itself: what is pinned, what may know what, and what starts in production."""

import re
import subprocess
import sys
import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import yaml

PROJECT_DIR = Path(__file__).resolve().parent.parent
REQUIREMENTS = ["requirements.txt", "requirements-dev.txt"]
PACKAGE = re.compile(r"^(?P<name>[A-Za-z0-9._-]+)(\[[^]]*\])?(?P<pin>==\S+)?")
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


def pyproject() -> dict[str, Any]:
    return tomllib.loads((PROJECT_DIR / "pyproject.toml").read_text(encoding="utf-8"))


def compose() -> dict[str, Any]:
    return yaml.safe_load((PROJECT_DIR / "docker-compose.yml").read_text(encoding="utf-8"))


def requirement_entries(file_name: str) -> list[str]:
    """One entry per package: its line and the hashes that continue it."""
    text = (PROJECT_DIR / file_name).read_text(encoding="utf-8")
    return [entry for entry in text.replace("\\\n", " ").splitlines() if entry.strip()]


def package_name(requirement: str) -> str:
    match = PACKAGE.match(requirement)
    assert match, requirement
    return re.sub(r"[-_.]+", "-", match["name"]).lower()


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


@pytest.mark.parametrize("file_name", REQUIREMENTS)
def test_every_requirement_is_pinned_and_carries_a_hash(file_name: str) -> None:
    entries = requirement_entries(file_name)
    bare = [
        entry.split()[0] for entry in entries if "==" not in entry or "--hash=sha256:" not in entry
    ]
    assert len(entries) > 20
    assert bare == []


def test_what_pyproject_asks_for_is_pinned() -> None:
    project = pyproject()["project"]
    pinned, pinned_dev = (
        {package_name(entry) for entry in requirement_entries(name)} for name in REQUIREMENTS
    )
    assert {package_name(one) for one in project["dependencies"]} <= pinned
    assert {package_name(one) for one in project["optional-dependencies"]["dev"]} <= pinned_dev


def test_tests_run_with_the_very_versions_of_the_service() -> None:
    service, development = (
        {entry.split()[0] for entry in requirement_entries(name)} for name in REQUIREMENTS
    )
    assert service <= development


def test_no_file_of_ours_names_a_registry() -> None:
    naming = [
        f"{path.relative_to(PROJECT_DIR)}: {host}"
        for path, text in own_text_files()
        for host in REGISTRY_HOSTS
        if host in text
    ]
    assert naming == []


def test_the_floors_stand_in_their_order_and_grant_no_exception() -> None:
    linter = pyproject()["tool"]["importlinter"]
    layers = [one["layers"] for one in linter["contracts"] if one["type"] == "layers"]
    allowed = {"name", "type", "layers", "source_modules", "forbidden_modules"}
    assert layers == [["config", "office | upkeep", "reports", "installs", "surveys", "jobs"]]
    assert [set(one) - allowed for one in linter["contracts"]] == [set(), set()]


def test_production_starts_every_part_and_watches_over_it() -> None:
    services = compose()["services"]
    parts = {"database", "redis", "web", "worker", "scheduler", "mail"}
    assert parts | {"migrate"} == set(services)
    assert {name for name in parts if "healthcheck" not in services[name]} == set()


@pytest.mark.parametrize("name", ["web", "worker", "scheduler"])
def test_production_waits_for_the_migrations(name: str) -> None:
    waits_for = compose()["services"][name]["depends_on"]
    assert waits_for["migrate"] == {"condition": "service_completed_successfully"}


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
