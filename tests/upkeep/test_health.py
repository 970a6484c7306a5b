"""What a health check is told, without a sign-in, by number, as often as it likes."""

import socket

import pytest
from django.db import connection
from django.test import Client

from config.celery import app
from jobs.models import JournalEntry

pytestmark = pytest.mark.django_db


@pytest.fixture
def inside(settings) -> Client:
    """A health check beside a service that people reach under a name, through TLS."""
    settings.ALLOWED_HOSTS = ["records.example.com"]
    settings.SECURE_SSL_REDIRECT = True
    return Client(headers={"host": "10.0.0.7:8000"})


@pytest.fixture
def nowhere() -> str:
    """An address of this machine at which nothing answers."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = probe.getsockname()[1]
    return f"redis://127.0.0.1:{port}/0"


def parts(client: Client, status: int) -> dict[str, str]:
    answer = client.get("/ready/")
    assert answer.status_code == status, answer.content
    assert answer.json()["ready"] is (status == 200)
    return answer.json()["parts"]


def test_a_health_check_asks_by_number_and_without_tls(inside):
    assert inside.get("/health/").status_code == 200
    assert inside.get("/ready/").status_code == 200
    assert inside.get("/jobs/").status_code == 400


def test_that_the_process_answers_is_told_without_the_database(
    inside, django_assert_max_num_queries
):
    with django_assert_max_num_queries(0):
        assert inside.get("/health/").json() == {"alive": True}


def test_a_service_that_can_do_its_work_says_so_of_every_part(inside, settings):
    settings.CELERY_TASK_ALWAYS_EAGER = True
    assert parts(inside, 200) == {
        "database": "ok",
        "cache": "ok",
        "broker": "not used",
        "storage": "ok",
        "disk": "ok",
    }


def test_a_health_check_is_never_told_to_wait(inside):
    assert {inside.get("/ready/").status_code for _ in range(80)} == {200}


def test_an_answer_of_a_while_ago_is_kept_by_nobody(inside):
    assert "no-store" in inside.get("/ready/")["Cache-Control"]


def test_nothing_is_changed_by_asking(inside):
    assert inside.post("/ready/").status_code == 405
    assert not JournalEntry.objects.exists()


def test_a_database_that_was_not_migrated_is_not_ready(inside):
    with connection.cursor() as cursor:
        cursor.execute("DELETE FROM django_migrations WHERE app = 'reports'")
    assert parts(inside, 503)["database"].endswith("migrations are not applied")


def test_a_folder_that_cannot_be_written_is_told(inside, settings, tmp_path):
    taken = tmp_path / "taken"
    taken.write_text("a file where the folder should be")
    settings.MEDIA_ROOT = taken
    assert parts(inside, 503)["storage"] == "not writable"


def test_a_disk_that_is_nearly_full_is_told(inside, settings):
    settings.READY_FREE_MB = 10**12
    assert parts(inside, 503)["disk"].endswith(f"MB free, {10**12} MB wanted")


def test_a_cache_that_is_gone_is_told(inside, settings, nowhere):
    settings.CACHES = {
        "default": {
            "BACKEND": "django.core.cache.backends.redis.RedisCache",
            "LOCATION": nowhere.replace("//", "//:a-password@"),
        }
    }
    assert parts(inside, 503)["cache"] == "unreachable"
    assert "a-password" not in inside.get("/ready/").content.decode()


def test_a_broker_that_is_gone_is_told(inside, settings, nowhere):
    settings.CELERY_TASK_ALWAYS_EAGER = False
    before = app.conf.broker_write_url
    app.conf.update(broker_write_url=nowhere)
    try:
        assert parts(inside, 503)["broker"] == "unreachable"
    finally:
        app.conf.update(broker_write_url=before)
