"""Redis is gone. Limits on load pass uncounted, so that work goes on; a password is not looked at
while wrong ones cannot be counted; papers wait for the sweep."""

import shutil
import time
from pathlib import Path

import pytest
from django.core.cache import cache
from django.test import Client
from rest_framework.test import APIClient

from config.celery import app
from jobs.idempotency import IdempotencyKey
from reports.models import Document
from reports.services.documents import issue_document
from reports.services.making import store_paper
from tests import factories
from tests.api import signed_in
from tests.faults.stage import Redis
from tests.reports.asked import asked_certificate

pytestmark = [
    pytest.mark.django_db,
    pytest.mark.skipif(not shutil.which("redis-server"), reason="needs redis-server"),
]
PATIENCE_SECONDS = 8


@pytest.fixture
def redis(tmp_path: Path, settings):
    """One of this test alone, which counts for it."""
    redis = Redis(tmp_path)
    settings.CACHES = {
        "default": {
            "BACKEND": "django.core.cache.backends.redis.RedisCache",
            "LOCATION": redis.address,
            "OPTIONS": settings.CACHES["default"].get("OPTIONS", {}),
        }
    }
    cache.set("counts", "here")
    yield redis
    redis.stop()


@pytest.fixture
def robin():
    return factories.person("office", username="robin")


@pytest.fixture
def announced_to_redis(redis):
    names = ("task_always_eager", "broker_url", "broker_write_url")
    before = {name: app.conf[name] for name in names}
    app.conf.update(dict(zip(names, (False, redis.address, redis.address), strict=True)))
    yield
    app.conf.update(before)


def sign_in_to_the_api(password: str = factories.PASSWORD):
    body = {"username": "robin", "password": password, "role": "office"}
    return APIClient().post("/api/v1/tokens/", body, format="json")


def sign_in_to_the_pages():
    return Client().post("/sign-in/", {"username": "robin", "password": factories.PASSWORD})


def test_whoever_is_signed_in_works_on(redis, robin):
    program, browser = signed_in(robin), Client()
    browser.force_login(robin)
    redis.stop()
    began = time.monotonic()
    body = {"name": "Oona Quill", "email": "oona@example.org"}
    assert program.get("/api/v1/jobs/").status_code == 200
    assert program.post("/api/v1/customers/", body).status_code == 201
    assert browser.get("/jobs/").status_code == 200
    assert time.monotonic() - began < PATIENCE_SECONDS


def test_a_paper_can_be_verified(redis, robin):
    paper = asked_certificate(robin, factories.job(robin))
    store_paper(document=paper, pdf=b"%PDF-1.7")
    redis.stop()
    code = paper.verification_code
    assert APIClient().get(f"/api/v1/verifications/{code}/").status_code == 200
    assert Client().get(f"/verify/{code}/").status_code == 200


def test_nobody_signs_in_while_wrong_passwords_cannot_be_counted(redis, robin):
    redis.stop()
    refused = sign_in_to_the_api()
    assert refused.status_code == 503
    assert refused["Content-Type"] == "application/problem+json"
    assert refused["Retry-After"] == "10"
    assert "If you are signed in, you can work on" in refused.json()["detail"]
    page = sign_in_to_the_pages()
    assert page.status_code == 503
    assert "Nobody can sign in at the moment" in page.content.decode()
    assert 'value="robin"' in page.content.decode()
    assert "sessionid" not in page.cookies


def test_everything_is_as_before_once_it_is_back(redis, robin):
    redis.stop()
    assert sign_in_to_the_api().status_code == 503
    redis.start()
    assert sign_in_to_the_api().status_code == 201
    assert sign_in_to_the_pages().status_code == 302
    statuses = [sign_in_to_the_api("wrong").status_code for _ in range(12)]
    assert statuses[-1] == 429


@pytest.mark.django_db(transaction=True)
def test_a_paper_that_cannot_be_announced_is_asked_for_all_the_same(
    redis, robin, announced_to_redis
):
    redis.stop()
    job = factories.job(robin)
    factories.survey(robin, factories.opening(robin, job))
    began = time.monotonic()
    paper = issue_document(
        actor=robin, idempotency_key=IdempotencyKey(), job=job, kind="survey_sheet"
    )
    assert time.monotonic() - began < PATIENCE_SECONDS
    waiting = Document.objects.get(pk=paper.pk)
    assert waiting.rendered_at is None
    # What the sweep looks for.
    assert waiting.next_attempt_at is not None
