import pytest
from django.contrib.sessions.models import Session
from django.test import Client
from rest_framework.test import APIClient

from jobs.models import Token
from jobs.tasks import forget_expired_sign_ins
from tests import factories
from tests.api import pointers

pytestmark = pytest.mark.django_db


def sign_in(role: str, password: str = factories.PASSWORD, username: str = "robin"):
    body = {"username": username, "password": password, "role": role}
    return APIClient().post("/api/v1/tokens/", body, format="json")


@pytest.fixture(autouse=True)
def robin():
    return factories.person("fitter", username="robin")


def with_token(secret: str) -> APIClient:
    client = APIClient()
    client.credentials(HTTP_AUTHORIZATION=f"Token {secret}")
    return client


def test_a_token_opens_the_api_and_is_stored_hashed():
    secret = sign_in("fitter").json()["token"]
    assert with_token(secret).get("/api/v1/jobs/").status_code == 200
    assert secret not in str(Token.objects.values())


def test_a_wrong_password_opens_nothing():
    answer = sign_in("fitter", password="wrong")
    assert answer.status_code == 401
    assert not Token.objects.exists()


def test_a_role_that_is_not_held_is_refused():
    assert pointers(sign_in("office")) == ["/role"]


def test_a_token_expires(time_machine):
    time_machine.move_to("2026-03-02T09:00:00Z")
    secret = sign_in("fitter").json()["token"]
    time_machine.shift(13 * 3600)
    assert with_token(secret).get("/api/v1/jobs/").status_code == 401


def test_expired_sign_ins_are_forgotten_and_others_go_on(robin, time_machine):
    time_machine.move_to("2026-03-02T09:00:00Z")
    sign_in("fitter")
    Client().force_login(robin)
    time_machine.shift(13 * 3600)
    standing = sign_in("fitter").json()["token"]
    page = Client()
    page.force_login(robin)
    forget_expired_sign_ins()
    assert (Token.objects.count(), Session.objects.count()) == (1, 1)
    assert with_token(standing).get("/api/v1/jobs/").status_code == 200
    assert page.get("/jobs/").status_code == 200


def test_a_token_that_was_signed_out_opens_nothing():
    secret = sign_in("fitter").json()["token"]
    assert with_token(secret).delete("/api/v1/tokens/current/").status_code == 204
    assert with_token(secret).get("/api/v1/jobs/").status_code == 401


def test_signing_in_is_throttled():
    answers = [sign_in("fitter", password="wrong").status_code for _ in range(11)]
    assert answers[-1] == 429


def test_a_password_that_is_easy_to_guess_is_refused_for_a_new_person():
    office = with_token("")
    office.force_authenticate(factories.person("office"))
    body = {
        "username": "new",
        "password": "password",
        "first_name": "New",
        "last_name": "Person",
        "email": "new@example.com",
        "roles": ["fitter"],
    }
    assert pointers(office.post("/api/v1/people/", body, format="json")) == ["/password"]


def guess(number: int, username: str = "robin", password: str = "wrong") -> int:
    """From an address of its own each, so that only the name is counted."""
    body = {"username": username, "password": password, "role": "fitter"}
    client = APIClient(REMOTE_ADDR=f"192.0.2.{number}")
    return client.post("/api/v1/tokens/", body, format="json").status_code


def guess_on_the_page(number: int, password: str = "wrong", username: str = "robin"):
    body = {"username": username, "password": password}
    return Client(REMOTE_ADDR=f"192.0.2.{number}").post("/sign-in/", body)


def test_a_name_waits_after_ten_wrong_passwords_wherever_they_come_from():
    assert {guess(number) for number in range(10)} == {401}
    assert guess(10, password=factories.PASSWORD) == 429
    assert guess_on_the_page(11, factories.PASSWORD).status_code == 429


def test_pages_and_programs_are_counted_together():
    for number in range(5):
        guess(number)
        guess_on_the_page(number + 5)
    waiting = guess_on_the_page(20, factories.PASSWORD)
    assert waiting.status_code == 429
    assert waiting["Retry-After"] == "900"
    assert "Wait 15 minutes" in waiting.content.decode()
    assert 'value="robin"' in waiting.content.decode()


def test_the_waiting_ends_after_a_quarter_of_an_hour(time_machine):
    time_machine.move_to("2026-03-02T09:00:00Z", tick=False)
    for number in range(10):
        guess(number)
    time_machine.shift(899)
    assert guess(11, password=factories.PASSWORD) == 429
    time_machine.shift(2)
    assert guess(12, password=factories.PASSWORD) == 201


def test_wrong_passwords_of_long_ago_do_not_count(time_machine):
    time_machine.move_to("2026-03-02T09:00:00Z", tick=False)
    for number in range(30):
        assert guess(number) == 401
        time_machine.shift(120)
    assert guess(31, password=factories.PASSWORD) == 201


def test_ten_within_a_quarter_of_an_hour_count_wherever_it_begins(time_machine):
    time_machine.move_to("2026-03-02T09:00:00Z", tick=False)
    guess(0)
    time_machine.shift(800)
    for number in range(1, 9):
        guess(number)
    time_machine.shift(200)
    assert guess(9) == 401
    assert guess(10) == 401
    assert guess(11, password=factories.PASSWORD) == 429


def test_a_right_password_is_forgiven_the_wrong_ones_before():
    for number in range(9):
        guess(number)
    assert guess(9, password=factories.PASSWORD) == 201
    assert {guess(number) for number in range(10, 19)} == {401}
    assert guess(20, password=factories.PASSWORD) == 201


def test_a_name_of_nobody_waits_alike():
    answers = [guess(number, username="nobody") for number in range(11)]
    assert answers == [401] * 10 + [429]
    somebody = [guess(number + 20) for number in range(11)]
    assert somebody == answers


def test_a_name_is_counted_however_it_is_spelt():
    for number in range(10):
        guess(number, username=("robin", "ROBIN", "Robin")[number % 3])
    assert guess(11, password=factories.PASSWORD) == 429


def test_a_name_that_waits_does_not_hold_up_another():
    factories.person("fitter", username="wren")
    for number in range(10):
        guess(number)
    assert guess(11, username="wren", password=factories.PASSWORD) == 201
