"""Enrolling the key of a device by its person's password, and ending it."""

import json

import pytest
from django.core.cache import cache
from django.test import Client

from jobs.errors import Conflict
from jobs.journal_types import JournalType
from jobs.models import EnrolledKey, JournalEntry
from jobs.services.device_keys import end_key
from tests import factories
from tests.api import pointers, signed_in
from tests.device import Device
from tests.journal import types_written_by

pytestmark = pytest.mark.django_db
ADDRESS = "/api/v1/device-keys/"


@pytest.fixture
def office():
    return factories.person("office")


@pytest.fixture
def fitter(office):
    return factories.person("fitter")


@pytest.fixture
def body(fitter):
    return {
        "device": "Work phone",
        "public_key": Device(fitter, enrolled=False).public_key,
        "password": factories.PASSWORD,
    }


def test_enrolling_and_ending_are_journalled_with_the_key_and_the_reason(fitter, office):
    assert types_written_by(lambda: Device(fitter)) == [JournalType.DEVICE_KEY_ENROLLED]
    key = EnrolledKey.objects.get()
    ending = {"actor": office, "key": key, "expected_version": 1, "because": "lost"}
    assert types_written_by(lambda: end_key(**ending)) == [JournalType.DEVICE_KEY_ENDED]
    enrolled, ended = JournalEntry.objects.filter(record_id=key.pk).order_by("number")
    assert json.loads(enrolled.text)["body"]["public_key"] == key.public_key
    assert enrolled.actor == fitter
    assert json.loads(ended.text)["body"]["ended_because"] == "lost"
    assert ended.actor == office
    with pytest.raises(Conflict, match="count no more already"):
        end_key(**ending | {"expected_version": 2})


def test_a_key_is_known_by_its_thumbprint(fitter, body):
    answer = signed_in(fitter).post(ADDRESS, body)
    assert answer.status_code == 201, answer.content
    shown = answer.json()
    assert (shown["public_key"], shown["person"]) == (body["public_key"], str(fitter.pk))
    assert len(shown["thumbprint"]) == 43
    assert "password" not in shown


def test_a_repeat_is_harmless_and_nobody_can_try_passwords_at_its_digest(fitter, body):
    client = signed_in(fitter)
    body["id"] = "0f6f2a0c-7f2c-4a43-8a0e-5b0c8f2d7e01"
    answers = [client.post(ADDRESS, body).status_code for _ in range(2)]
    other = client.post(ADDRESS, body | {"password": "something else"}).status_code
    assert (answers, other) == ([201, 200], 200)
    assert EnrolledKey.objects.count() == 1


@pytest.mark.parametrize(
    ("change", "pointer"),
    [
        ({"password": "guessed"}, "/password"),
        ({"public_key": {"kty": "RSA"}}, "/public_key"),
        ({"public_key": []}, "/public_key"),
        ({"device": ""}, "/device"),
        ({"device": "x" * 61}, "/device"),
        ({"colour": "grey"}, "/colour"),
    ],
)
def test_what_is_wrong_is_said_at_its_field_and_nothing_is_stored(fitter, body, change, pointer):
    assert pointers(signed_in(fitter).post(ADDRESS, body | change)) == [pointer]
    assert not EnrolledKey.objects.exists()


def test_a_key_is_enrolled_once(fitter, office, body):
    signed_in(fitter).post(ADDRESS, body)
    assert pointers(signed_in(office).post(ADDRESS, body)) == ["/public_key"]


def test_wrong_passwords_have_to_wait_as_when_signing_in(fitter, body):
    client = signed_in(fitter)
    for _ in range(10):
        client.post(ADDRESS, body | {"password": "guessed"})
    answer = client.post(ADDRESS, body)
    assert pointers(answer) == ["/password"]
    assert "wait 15 minutes" in answer.json()["errors"][0]["detail"]
    cache.clear()


def test_somebody_ends_their_own_and_the_office_anybodys(fitter, office):
    first, second = Device(fitter).on_record, Device(fitter).on_record
    other = factories.person("fitter")
    address, header = f"{ADDRESS}{first.pk}/end/", {"If-Match": '"1"'}
    reason = {"because": "a new phone"}
    assert signed_in(other).post(address, reason, headers=header).status_code == 404
    assert signed_in(fitter).post(address, reason, headers=header).status_code == 200
    ended = signed_in(office).post(f"{ADDRESS}{second.pk}/end/", reason, headers=header).json()
    assert (ended["ended_by"], ended["ended_because"]) == (str(office.pk), "a new phone")
    assert pointers(signed_in(office).post(address, {}, headers=header)) == ["/because"]


def test_the_page_ends_a_phone_with_a_reason(fitter):
    key = Device(fitter).on_record
    browser = Client()
    browser.force_login(fitter)
    address = f"/phones/{key.pk}/end/"
    assert "Work phone" in browser.get(address).content.decode()
    assert browser.post(address, {"id": str(key.pk), "version": 1}).status_code == 400
    filled = {"id": str(key.pk), "version": 1, "because": "lost"}
    assert browser.post(address, filled, follow=True).status_code == 200
    key.refresh_from_db()
    assert (key.ended_because, key.ended_by) == ("lost", fitter)
    assert "lost" in browser.get("/phones/").content.decode()
