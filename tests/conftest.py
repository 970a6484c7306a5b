import gc
import inspect
from collections.abc import Iterator
from pathlib import Path

import hypothesis
import pytest
from django.conf import settings as project
from django.core.cache import cache
from django.db.models.signals import post_migrate

from reports.models import Document
from reports.verification.names import PROOF, RECORD
from tests import lengths  # noqa: F401 its profiles are registered
from tests.snapshots import snapshots

TESTS_DIR = Path(__file__).resolve().parent
# Where the files that take longest are, and the longest first.
LONG_ROOMS = ("demo", "browser", "upkeep", "reports", "faults")

# Before a profile is chosen on the command line.
hypothesis.settings.load_profile("short")


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """What takes longest comes first: a long file that one process begins when little else is left
    keeps the others waiting at the end."""
    items.sort(key=_place_in_line)


def pytest_collection_finish() -> None:
    """What was loaded until here stays for good: it is not searched for garbage again and again."""
    gc.collect()
    gc.freeze()
    gc.set_threshold(20_000, 20, 20)


def _place_in_line(item: pytest.Item) -> int:
    room = item.path.relative_to(TESTS_DIR).parts[0]
    return LONG_ROOMS.index(room) if room in LONG_ROOMS else len(LONG_ROOMS)


@pytest.fixture(scope="session")
def django_db_modify_db_settings(django_db_modify_db_settings_parallel_suffix, tmp_path_factory):
    """SQLite in a file, as it is used: one in memory shares its one connection with the threads of
    a server, and a request still under way there locks what the next test begins with."""
    database = project.DATABASES["default"]
    if database["ENGINE"].endswith("sqlite3"):
        folder = tmp_path_factory.mktemp("database")
        database["TEST"]["NAME"] = str(folder / "test.sqlite3")
        # Nothing of it outlives the run, so nothing waits for the disk.
        database["OPTIONS"]["init_command"] += " PRAGMA synchronous=OFF;"


@pytest.fixture(scope="session")
def django_db_setup(django_db_setup) -> None:
    """From here on nothing is made anew after the database was emptied: permissions of Django's
    own, which are asked nowhere, take longer than emptying it."""
    post_migrate.receivers.clear()


@pytest.fixture(autouse=True)
def _own_folders(settings, tmp_path: Path, worker_id: str) -> None:
    """Every test has its own files, its own mail folder, and an empty cache."""
    settings.MEDIA_ROOT = tmp_path / "files"
    # Argon2 is slow on purpose; what the tests check does not depend on it.
    settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]
    settings.EMAIL_FOLDER = tmp_path / "outbox"
    # Otherwise every client of every test first reads all static files.
    settings.WHITENOISE_AUTOREFRESH = True
    if settings.REDIS_URL:
        settings.CACHES = _caches_of_worker(settings.CACHES, worker_id)
    cache.clear()


@pytest.fixture(autouse=True)
def _snapshots(request: pytest.FixtureRequest) -> Iterator[None]:
    """What a test begins with is laid in, unless it may replace something that it is built by."""
    asked_for = inspect.signature(request.function).parameters
    with snapshots.of_a_test(usable="monkeypatch" not in asked_for):
        yield


@pytest.fixture
def short_papers(monkeypatch: pytest.MonkeyPatch) -> None:
    """Papers have one line, for tests that follow one and read none: a whole one takes a second.
    They are archival, carry their record and are signed as always."""
    monkeypatch.setattr("reports.papers.paper.paper_pdf", _short_paper)


def _short_paper(document: Document, *, proof: str = "") -> bytes:
    # Loaded here: what draws papers takes a while to load.
    from reports.papers.rendering import render_pdf  # noqa: PLC0415

    html = f"<html lang='en'><title>{document.title}</title><p>{document.number}</p></html>"
    return render_pdf(
        html, {}, {RECORD: document.record, PROOF: proof}, identifier=str(document.pk)
    )


def _caches_of_worker(caches: dict, worker_id: str) -> dict:
    """Each worker empties a Redis database of its own: the number given, and those after it."""
    address, _, number = caches["default"]["LOCATION"].rpartition("/")
    own = int(number) + int(worker_id.removeprefix("gw").replace("master", "0"))
    return {"default": caches["default"] | {"LOCATION": f"{address}/{own}"}}
