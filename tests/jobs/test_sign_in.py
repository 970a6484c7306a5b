import pytest
from rest_framework.test import APIClient

from jobs.models import Token
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
