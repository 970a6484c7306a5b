"""The calendar of a crew: what stands at its secret address, and who gives that out.

What is read here is read by the rules of RFC 5545 themselves, and once more by a parser.
"""

import re
from datetime import UTC, datetime, timedelta
from urllib.parse import urlsplit

import pytest
from django.test import Client
from icalendar import Calendar

from jobs.crew_calendars import digest_of
from jobs.models import JournalEntry
from jobs.services.crew_calendars import end_calendar, give_out_calendar
from jobs.services.diary import cancel_visit, move_visit
from tests import factories
from tests.api import signed_in

pytestmark = pytest.mark.django_db

NOW = datetime(2026, 3, 2, 6, tzinfo=UTC)
HOUR = timedelta(hours=1)


@pytest.fixture(autouse=True)
def _morning(time_machine) -> None:
    time_machine.move_to(NOW, tick=False)


@pytest.fixture
def office():
    return factories.person("office")


@pytest.fixture
def crew(office):
    return factories.crew(office, factories.person("fitter"))


@pytest.fixture
def browser(office) -> Client:
    client = Client()
    client.force_login(office)
    return client


def visit_of(crew, office, *, begins=NOW + HOUR, **of_the_job):
    job = factories.job(office, **of_the_job)
    return factories.visit(office, job, "fitting", crew=crew, start=begins, end=begins + HOUR)


def address_of(crew, office) -> str:
    crew.refresh_from_db()
    given = give_out_calendar(actor=office, crew=crew, expected_version=crew.version)
    return f"/calendars/{given.secret}.ics"


def content_of(address: str) -> bytes:
    answer = Client().get(address)
    assert answer.status_code == 200
    assert answer["Content-Type"] == "text/calendar; charset=utf-8"
    return answer.content


def events_of(crew, office) -> list[dict[str, str]]:
    """Unfolded (section 3.1) and unescaped (3.3.11), the values of each event by their names."""
    lines = content_of(address_of(crew, office)).replace(b"\r\n ", b"").decode().split("\r\n")
    begins = [place for place, line in enumerate(lines) if line == "BEGIN:VEVENT"]
    ends = [place for place, line in enumerate(lines) if line == "END:VEVENT"]
    inside = [lines[begin + 1 : end] for begin, end in zip(begins, ends, strict=True)]
    return [dict(map(unescaped, event)) for event in inside]


def unescaped(line: str) -> tuple[str, str]:
    name, _, value = line.partition(":")
    return name, re.sub(r"\\(.)", lambda escaped: escaped[1].replace("n", "\n"), value)


def test_a_visit_stands_in_it_with_its_kind_its_job_its_place_and_its_time_in_utc(office, crew):
    summer = datetime(2026, 6, 1, 8, tzinfo=UTC)
    visit = visit_of(crew, office, begins=summer)
    assert events_of(crew, office) == [
        {
            "UID": str(visit.pk),
            "DTSTAMP": "20260302T060000Z",
            "LAST-MODIFIED": "20260302T060000Z",
            "SEQUENCE": "0",
            "DTSTART": "20260601T080000Z",
            "DTEND": "20260601T090000Z",
            "SUMMARY": f"Fitting, {visit.job.reference}",
            "LOCATION": "1 Example Lane, Sampleton, ZZ1 1ZZ",
            "STATUS": "CONFIRMED",
        }
    ]


def test_a_visit_that_is_moved_keeps_its_uid_and_counts_on(office, crew, time_machine):
    visit = visit_of(crew, office)
    time_machine.shift(HOUR / 2)
    later = visit.start + HOUR
    move_visit(actor=office, visit=visit, expected_version=1, start=later, end=later + HOUR)
    [event] = events_of(crew, office)
    assert (event["UID"], event["SEQUENCE"]) == (str(visit.pk), "1")
    assert (event["DTSTART"], event["LAST-MODIFIED"]) == ("20260302T080000Z", "20260302T063000Z")


def test_a_visit_that_is_cancelled_stays_in_it_as_cancelled(office, crew):
    visit = visit_of(crew, office)
    cancel_visit(actor=office, visit=visit, expected_version=1)
    [event] = events_of(crew, office)
    assert (event["STATUS"], event["SEQUENCE"]) == ("CANCELLED", "1")


def test_it_looks_back_for_thirty_days(office, crew, time_machine):
    ended_long_ago = visit_of(crew, office)
    ended_since = visit_of(crew, office, begins=NOW + 3 * HOUR)
    time_machine.move_to(NOW + timedelta(days=30) + 3 * HOUR)
    ids = [event["UID"] for event in events_of(crew, office)]
    assert str(ended_long_ago.pk) not in ids
    assert ids == [str(ended_since.pk)]


def test_it_holds_the_visits_of_no_other_crew(office, crew):
    visit_of(factories.crew(office, factories.person("fitter")), office)
    assert events_of(crew, office) == []


ODD = {
    "address_line_1": "Straße 7; “Höfchen”, back\\door",
    "address_line_2": "Gate,\nsecond yard " + "é" * 80,
}


def test_commas_lines_and_letters_of_other_tongues_come_through(office, crew):
    visit = visit_of(crew, office, site=factories.site(office, **ODD))
    [event] = events_of(crew, office)
    assert event["LOCATION"] == visit.job.site.one_line
    assert "\n" in event["LOCATION"]
    [read] = Calendar.from_ical(content_of(address_of(crew, office))).walk("VEVENT")
    assert read["LOCATION"] == visit.job.site.one_line
    assert read["DTSTART"].dt == visit.start


def test_lines_are_folded_at_75_octets_and_no_letter_is_cut(office, crew):
    visit_of(crew, office, site=factories.site(office, **ODD))
    lines = content_of(address_of(crew, office)).split(b"\r\n")
    assert max(map(len, lines)) <= 75
    assert any(line.startswith(b" ") for line in lines)
    for line in lines:
        assert line.decode().isprintable() or not line


def test_control_characters_are_left_out(office, crew):
    visit_of(crew, office, site=factories.site(office, town="Sample\x07ton\x0bMill"))
    [event] = events_of(crew, office)
    assert event["LOCATION"] == "1 Example Lane, Sampleton\nMill, ZZ1 1ZZ"


def test_nothing_in_it_says_who_the_customer_is(office, crew):
    customer = factories.customer(
        office, name="Oona Quill", email="oona@example.com", telephone="+441632960001"
    )
    site = factories.site(office, access_notes="Oona is deaf")
    visit_of(crew, office, customer=customer, site=site, title="Doors for Oona Quill")
    calendar = content_of(address_of(crew, office)).replace(b"\r\n ", b"").decode()
    assert "LOCATION:1 Example Lane" in calendar
    assert not re.search("oona|quill|960001", calendar, re.IGNORECASE)


def test_it_costs_the_same_however_many_visits_there_are(
    office, crew, django_assert_max_num_queries
):
    for later in range(5):
        visit_of(crew, office, begins=NOW + later * HOUR)
    address = address_of(crew, office)
    with django_assert_max_num_queries(2):
        assert content_of(address).count(b"BEGIN:VEVENT") == 5


def test_no_cache_that_others_share_keeps_it(office, crew):
    answer = Client().get(address_of(crew, office))
    assert "private" in answer["Cache-Control"]


def test_a_new_address_ends_the_old_one_and_ending_it_leaves_none(office, crew):
    old, new = address_of(crew, office), address_of(crew, office)
    assert Client().get(old).status_code == 404
    assert Client().get(new).status_code == 200
    crew.refresh_from_db()
    end_calendar(actor=office, crew=crew, expected_version=crew.version)
    assert Client().get(new).status_code == 404


def test_of_the_secret_only_the_digest_is_kept(office, crew):
    secret = address_of(crew, office).removeprefix("/calendars/").removesuffix(".ics")
    assert len(secret) * 6 >= 256
    crew.refresh_from_db()
    assert crew.calendar_digest == digest_of(secret)
    entry = JournalEntry.objects.latest("pk")
    assert (entry.type, entry.record_id) == ("crew_calendar.issued", str(crew.pk))
    assert secret not in entry.text
    end_calendar(actor=office, crew=crew, expected_version=crew.version)
    assert JournalEntry.objects.latest("pk").type == "crew_calendar.revoked"


def test_guessing_is_slow():
    client = Client()
    answers = [client.get(f"/calendars/guess-{number}.ics") for number in range(31)]
    assert {answer.status_code for answer in answers[:30]} == {404}
    assert answers[30].status_code == 429
    assert int(answers[30]["Retry-After"]) > 0


def test_the_api_gives_an_address_out_once_and_ends_it(office, crew):
    client, path = signed_in(office), f"/api/v1/crews/{crew.pk}/"
    assert client.post(f"{path}calendar/").status_code == 428
    given = client.post(f"{path}calendar/", headers={"If-Match": '"1"'})
    assert (given.status_code, given["ETag"]) == (201, '"2"')
    address = urlsplit(given.json()["address"]).path
    assert Client().get(address).status_code == 200
    read = client.get(path)
    assert read.json()["has_calendar"] is True
    assert address not in read.content.decode()
    stale = client.post(f"{path}calendar/", headers={"If-Match": '"1"'})
    assert stale.status_code == 412
    ended = client.delete(f"{path}calendar/", headers={"If-Match": '"2"'})
    assert (ended.status_code, ended.json()["has_calendar"]) == (200, False)
    assert Client().get(address).status_code == 404
    again = client.delete(f"{path}calendar/", headers={"If-Match": '"3"'})
    assert again.status_code == 409


def test_on_its_page_an_address_is_shown_once_and_ended(browser, crew):
    path = f"/crews/{crew.pk}/calendar/"
    assert "The calendar has no address" in browser.get(path).content.decode()
    made = browser.post(path, {"id": crew.pk, "version": crew.version}).content.decode()
    address = urlsplit(re.search(r'href="(\S+/calendars/\S+)"', made)[1]).path
    assert Client().get(address).status_code == 200
    assert address not in browser.get(path).content.decode()
    assert "has an address" in browser.get("/crews/").content.decode()
    crew.refresh_from_db()
    form = {"id": crew.pk, "version": crew.version}
    html = browser.post(f"{path}end/", form, follow=True).content.decode()
    assert "no longer has an address" in html
    assert Client().get(address).status_code == 404


def test_pressing_from_an_old_page_leaves_the_address_as_it_is(browser, office, crew):
    address = address_of(crew, office)
    for path in ("calendar/", "calendar/end/"):
        answer = browser.post(f"/crews/{crew.pk}/{path}", {"id": crew.pk, "version": 1})
        assert answer.status_code == 400
        assert "Somebody else has changed this" in answer.content.decode()
    assert Client().get(address).status_code == 200
