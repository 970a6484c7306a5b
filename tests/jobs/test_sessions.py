"""How long somebody stays signed in with a browser, and who can see that they are."""

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest
from django.test import Client

from jobs.models import Person
from tests import factories
from tests.api import signed_in

PROJECT_DIR = Path(__file__).resolve().parent.parent.parent


@pytest.fixture
def robin() -> Person:
    return factories.person("fitter", username="robin")


def signed_in_browser(person: Person) -> Client:
    client = Client()
    given = {"username": person.username, "password": factories.PASSWORD}
    assert client.post("/sign-in/", given).status_code == 302
    return client


@pytest.mark.django_db
def test_a_session_ends_after_a_days_work(robin, time_machine):
    time_machine.move_to("2026-03-02T07:00:00Z")
    client = signed_in_browser(robin)
    time_machine.move_to("2026-03-02T18:50:00Z")
    assert client.get("/jobs/").status_code == 200
    time_machine.move_to("2026-03-02T19:10:00Z")
    assert client.get("/jobs/")["Location"].startswith("/sign-in/")


@pytest.mark.django_db
def test_a_session_that_was_signed_out_is_of_no_use_to_whoever_kept_its_key(robin):
    client, thief = signed_in_browser(robin), Client()
    thief.cookies["sessionid"] = client.cookies["sessionid"].value
    assert thief.get("/jobs/").status_code == 200
    client.post("/sign-out/")
    assert thief.get("/jobs/").status_code == 302


@pytest.mark.django_db
def test_whoever_left_the_firm_is_signed_out_everywhere(robin):
    browser, program = signed_in_browser(robin), signed_in(robin)
    Person.objects.filter(pk=robin.pk).update(is_active=False)
    assert browser.get("/jobs/").status_code == 302
    assert program.get("/api/v1/jobs/").status_code == 401


@pytest.mark.django_db
def test_no_script_and_no_other_site_is_given_the_key_of_a_session(robin):
    cookie = signed_in_browser(robin).cookies["sessionid"]
    assert cookie["httponly"] is True
    assert cookie["samesite"] == "Lax"
    assert cookie["max-age"] == 12 * 3600


def test_behind_tls_the_key_travels_through_tls_alone(tmp_path):
    told = (
        "import json; from config import settings as s;"
        "print(json.dumps([s.SESSION_COOKIE_SECURE, s.CSRF_COOKIE_SECURE, s.SECURE_SSL_REDIRECT]))"
    )
    environment = {
        "PATH": os.environ["PATH"],
        "BEHIND_TLS": "true",
        "SECRET_KEY": "fifty-characters-or-more-that-nobody-outside-could-guess",
        "SILLWRIGHT_DATA_DIR": str(tmp_path),
    }
    done = subprocess.run(
        [sys.executable, "-c", told],
        cwd=PROJECT_DIR,
        env=environment,
        capture_output=True,
        text=True,
        check=True,
    )
    assert json.loads(done.stdout) == [True, True, True]
