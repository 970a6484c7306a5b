"""Witnesses as records of the office: added, refused, ended, with the letters that went to them."""

import pytest
from django.conf import settings as project
from django.test import Client

from jobs.journal_types import JournalType
from jobs.services.seals import seal_streams
from reports.models import JournalWitness
from reports.services.journal_witnesses import end_witness
from reports.tasks import write_to_witnesses
from tests import factories
from tests.api import pointers, signed_in
from tests.journal import types_written_by

pytestmark = pytest.mark.django_db
ADDRESS = "/api/v1/witnesses/"
BODY = {"name": "Harbour Insurance", "email": "insurer@example.com", "standing": "insurer"}


@pytest.fixture
def browser(office) -> Client:
    client = Client()
    client.force_login(office)
    return client


def test_adding_and_ending_are_journalled(office):
    added = types_written_by(lambda: factories.witness(office))
    witness = JournalWitness.objects.get()
    ended = types_written_by(lambda: end_witness(actor=office, witness=witness, expected_version=1))
    assert added + ended == [JournalType.WITNESS_ADDED, JournalType.WITNESS_ENDED]


def test_a_program_adds_reads_and_ends_one(office):
    client = signed_in(office)
    added = client.post(ADDRESS, BODY)
    assert added.status_code == 201, added.content
    shown = added.json()
    assert (shown["email"], shown["standing"], shown["ended_at"]) == (
        *list(BODY.values())[1:],
        None,
    )
    address = f"{ADDRESS}{shown['id']}/"
    ended = client.post(f"{address}end/", headers={"If-Match": added["ETag"]})
    assert ended.json()["ended_at"]
    again = client.post(f"{address}end/", headers={"If-Match": ended["ETag"]})
    assert (again.status_code, again.json()["detail"]) == (409, "this witness was ended already")


@pytest.mark.parametrize(
    ("change", "pointer", "why"),
    [
        ({"email": "no address"}, "/email", "valid email"),
        ({"email": project.FIRM_EMAIL.upper()}, "/email", "the firm's own address"),
        ({"email": "Robin@example.com"}, "/email", "somebody who works here"),
        ({"standing": "friend"}, "/standing", "friend"),
        ({"name": ""}, "/name", "blank"),
        ({"colour": "grey"}, "/colour", "unknown field"),
    ],
)
def test_what_is_no_witness_is_refused_at_its_field(office, change, pointer, why):
    answer = signed_in(office).post(ADDRESS, BODY | change)
    assert pointers(answer) == [pointer]
    assert why in answer.json()["errors"][0]["detail"]
    assert not JournalWitness.objects.exists()


def test_an_address_is_a_witness_once_and_again_when_that_was_ended(office):
    client = signed_in(office)
    first = client.post(ADDRESS, BODY)
    twice = client.post(ADDRESS, BODY | {"email": "Insurer@Example.com"})
    assert pointers(twice) == ["/email"]
    assert twice.json()["errors"][0]["detail"] == "Insurer@Example.com is a witness already"
    client.post(f"{ADDRESS}{first.json()['id']}/end/", headers={"If-Match": first["ETag"]})
    assert client.post(ADDRESS, BODY).status_code == 201


def test_the_page_lists_each_letter_with_its_checkpoint_and_what_became_of_it(office, browser):
    factories.witness(office)
    seal_streams()
    write_to_witnesses.delay()
    page = browser.get("/witnesses/").content.decode()
    assert "Harbour Insurance" in page
    assert "/checkpoints/1/" in page
    assert "sent" in page


def test_the_pages_add_and_end_one_and_refuse_at_the_field(browser):
    filled = BODY | {"id": "0f6f2a0c-7f2c-4a43-8a0e-5b0c8f2d7e01"}
    wrong = browser.post("/witnesses/new/", filled | {"email": project.FIRM_EMAIL})
    assert wrong.status_code == 400
    assert "own address" in wrong.content.decode()
    assert browser.post("/witnesses/new/", filled).status_code == 302
    witness = JournalWitness.objects.get()
    address = f"/witnesses/{witness.pk}/end/"
    assert "insurer@example.com" in browser.get(address).content.decode()
    browser.post(address, {"id": str(witness.pk), "version": 1})
    witness.refresh_from_db()
    assert witness.ended_at
    assert browser.get(address).status_code == 404
