"""A second factor beside the password: enrolling, signing in with it, and being rid of it."""

import re

import pytest
from django.core.management import call_command
from django.test import Client
from django_otp.oath import totp
from django_otp.plugins.otp_totp.models import TOTPDevice
from rest_framework.test import APIClient

from jobs.journal_types import JournalType
from jobs.models import JournalEntry
from jobs.services import second_factor
from tests import factories

pytestmark = pytest.mark.django_db
MORNING = "2026-03-02T09:00:00Z"
WRONG = "000000"


@pytest.fixture(autouse=True)
def clock(time_machine):
    time_machine.move_to(MORNING, tick=False)
    return time_machine


@pytest.fixture
def office():
    return factories.person("office")


@pytest.fixture
def browser(office) -> Client:
    client = Client()
    client.force_login(office)
    return client


def code_of(person, clock) -> str:
    """What the person's app shows half a minute later: no code is taken twice."""
    clock.shift(30)
    device = TOTPDevice.objects.get(user=person)
    return f"{totp(device.bin_key, t0=0, step=30):06d}"


@pytest.fixture
def recovery_codes(office, clock) -> list[str]:
    """Of somebody who has enrolled."""
    second_factor.begin_enrolment(person=office)
    return second_factor.confirm_enrolment(person=office, code=code_of(office, clock))


def password_given(person) -> Client:
    client = Client()
    body = {"username": person.username, "password": factories.PASSWORD, "next": "/customers/"}
    answer = client.post("/sign-in/", body)
    assert answer["Location"] == "/sign-in/code/"
    return client


def is_signed_in(client: Client) -> bool:
    return client.get("/jobs/").status_code == 200


def html_of(answer) -> str:
    return answer.content.decode()


def test_enrolling_shows_the_secret_takes_a_code_and_gives_recovery_codes(browser, office, clock):
    page = html_of(browser.post("/second-factor/begin/", follow=True))
    assert '<svg viewBox="0 0 ' in page, "a square of a fixed size would be cut off"
    assert re.search(r"<code>([A-Z2-7]{4} ?){8}</code>", page)
    html = html_of(browser.post("/second-factor/enrol/", {"code": code_of(office, clock)}))
    assert len(re.findall(r"<li><code>[a-z2-7]{4} [a-z2-7]{4}</code>", html)) == 10
    assert JournalEntry.objects.filter(
        type=JournalType.SECOND_FACTOR_ENROLLED, actor=office
    ).exists()


def test_recovery_codes_are_shown_once(browser, recovery_codes):
    for path in ("/second-factor/", "/second-factor/enrol/"):
        page = html_of(browser.get(path, follow=True)).replace(" ", "")
        assert not any(code in page for code in recovery_codes)


def test_until_a_code_has_come_back_the_password_alone_opens(browser, office):
    browser.post("/second-factor/begin/")
    answer = browser.post("/second-factor/enrol/", {"code": WRONG})
    assert "it is wrong or was used before" in html_of(answer)
    fresh = Client()
    fresh.post("/sign-in/", {"username": office.username, "password": factories.PASSWORD})
    assert is_signed_in(fresh)


def test_the_password_alone_opens_nothing_to_whoever_is_enrolled(office, recovery_codes):
    client = password_given(office)
    assert not is_signed_in(client)
    client.post("/sign-in/code/", {"code": WRONG})
    assert not is_signed_in(client)


def test_a_code_after_the_password_leads_where_one_was_going(office, recovery_codes, clock):
    client = password_given(office)
    answer = client.post("/sign-in/code/", {"code": code_of(office, clock)})
    assert answer["Location"] == "/customers/"
    assert is_signed_in(client)


def test_a_code_without_a_password_is_not_asked_for(office, recovery_codes):
    assert Client().get("/sign-in/code/")["Location"] == "/sign-in/"


def test_a_password_waits_a_few_minutes_for_its_code(office, recovery_codes, clock):
    client = password_given(office)
    clock.shift(301)
    answer = client.post("/sign-in/code/", {"code": code_of(office, clock)})
    assert answer["Location"] == "/sign-in/"
    assert not is_signed_in(client)


def test_whoever_left_the_firm_meanwhile_stays_outside(office, recovery_codes, clock):
    client = password_given(office)
    type(office).objects.update(is_active=False)
    client.post("/sign-in/code/", {"code": code_of(office, clock)})
    assert not is_signed_in(client)


def test_a_code_opens_once(office, recovery_codes, clock):
    code = code_of(office, clock)
    assert password_given(office).post("/sign-in/code/", {"code": code}).status_code == 302
    again = password_given(office)
    again.post("/sign-in/code/", {"code": code})
    assert not is_signed_in(again)


def test_a_recovery_code_opens_once_however_it_is_copied(office, recovery_codes):
    written = f"{recovery_codes[0][:4].upper()}-{recovery_codes[0][4:]} "
    assert password_given(office).post("/sign-in/code/", {"code": written}).status_code == 302
    again = password_given(office)
    assert "it is wrong" in html_of(again.post("/sign-in/code/", {"code": written}))
    assert second_factor.recovery_codes_left(office) == 9


def test_a_wrong_code_makes_the_next_one_wait(office, recovery_codes, clock):
    client = password_given(office)
    for _ in range(5):
        clock.shift(60)
        client.post("/sign-in/code/", {"code": WRONG})
    right = f"{totp(TOTPDevice.objects.get(user=office).bin_key):06d}"
    refused = client.post("/sign-in/code/", {"code": right})
    assert "too many wrong codes: wait 16 s" in html_of(refused)
    assert not is_signed_in(client)


def test_codes_are_limited_by_address_like_passwords(office, recovery_codes):
    client = password_given(office)
    answers = [client.post("/sign-in/code/", {"code": WRONG}).status_code for _ in range(10)]
    assert answers[-1] == 429


def test_it_is_switched_off_with_a_code_only(browser, office, recovery_codes, clock):
    refused = browser.post("/second-factor/off/", {"off-code": WRONG})
    assert "it is wrong or was used before" in html_of(refused)
    assert second_factor.enrolled_device(office)
    clock.shift(60)
    browser.post("/second-factor/off/", {"off-code": code_of(office, clock)})
    assert second_factor.enrolled_device(office) is None
    assert second_factor.recovery_codes_left(office) == 0
    assert JournalEntry.objects.filter(
        type=JournalType.SECOND_FACTOR_REMOVED, actor=office
    ).exists()


def test_new_recovery_codes_end_the_old_ones(browser, office, recovery_codes, clock):
    page = html_of(
        browser.post("/second-factor/recovery-codes/", {"renew-code": code_of(office, clock)})
    )
    assert "no longer work" in page
    client = password_given(office)
    client.post("/sign-in/code/", {"code": recovery_codes[0]})
    assert not is_signed_in(client)


def test_beginning_anew_does_not_undo_what_is_on(browser, office, recovery_codes):
    page = html_of(browser.post("/second-factor/begin/", follow=True))
    assert "switch it off first" in page
    assert second_factor.enrolled_device(office)


def test_whoever_runs_the_service_lets_somebody_in_who_lost_everything(office, recovery_codes):
    call_command("remove_second_factor", office.username, verbosity=0)
    client = Client()
    client.post("/sign-in/", {"username": office.username, "password": factories.PASSWORD})
    assert is_signed_in(client)


def test_a_program_gives_its_code_too(office, recovery_codes, clock):
    body = {"username": office.username, "password": factories.PASSWORD, "role": "office"}
    refused = APIClient().post("/api/v1/tokens/", body, format="json")
    assert [error["pointer"] for error in refused.json()["errors"]] == ["/code"]
    code = code_of(office, clock)
    answer = APIClient().post("/api/v1/tokens/", body | {"code": code}, format="json")
    assert answer.status_code == 201


class TestWhereTheOfficeNeedsOne:
    @pytest.fixture(autouse=True)
    def _needed(self, settings):
        settings.OFFICE_NEEDS_SECOND_FACTOR = True

    def test_pages_and_api_wait_until_it_is_there(self, browser):
        for path in ("/", "/jobs/", "/customers/", "/admin/"):
            assert browser.get(path)["Location"] == "/second-factor/"
        assert browser.get("/api/v1/jobs/").status_code == 403
        assert "The office needs a second factor" in html_of(browser.get("/second-factor/"))

    def test_enrolling_opens_them(self, browser, office, clock):
        browser.post("/second-factor/begin/")
        browser.post("/second-factor/enrol/", {"code": code_of(office, clock)})
        assert is_signed_in(browser)

    def test_leaving_is_always_possible(self, browser):
        assert browser.post("/sign-out/")["Location"] == "/sign-in/"

    def test_a_fitter_is_not_asked(self):
        client = Client()
        client.force_login(factories.person("fitter"))
        assert is_signed_in(client)

    def test_a_token_for_the_office_waits_too(self, office):
        body = {"username": office.username, "password": factories.PASSWORD, "role": "office"}
        refused = APIClient().post("/api/v1/tokens/", body, format="json")
        assert [error["pointer"] for error in refused.json()["errors"]] == ["/role"]
