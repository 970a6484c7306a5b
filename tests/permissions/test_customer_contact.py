"""Whoever may not see how to reach a customer meets neither e-mail nor telephone anywhere."""

from io import BytesIO
from zipfile import ZipFile, is_zipfile

import msgspec
import pytest

from jobs.models import Customer
from reports.kinds import KINDS
from reports.models import Dispatch, Document
from tests.permissions import who_may
from tests.permissions.routes import Row, ask
from tests.permissions.test_every_route import ROWS

pytestmark = pytest.mark.django_db

EMAIL, TELEPHONE = "reach-me-here@example.com", "+441632960961"
CONTACT = (EMAIL, TELEPHONE, "1632960961", "01632 960961")
WORKBOOKS = [
    Row.read(f"GET {address}", {}) for address in ("/jobs/export.xlsx", "/api/v1/jobs/?format=xlsx")
]


@pytest.fixture
def reached(finished):
    """The finished job, of a customer like no other, whose mail provider sent a letter back."""
    customers = Customer.objects.filter(pk=finished.parts["customer"])
    customers.update(email=EMAIL, telephone=TELEPHONE)
    letters = Dispatch.objects.filter(pk=finished.parts["letter"])
    outcome = f"550 5.1.1 <{EMAIL}>: no such mailbox"
    letters.update(recipient=EMAIL, state="failed", outcome=outcome, next_attempt_at=None)
    finished.job.refresh_from_db()
    return finished


@pytest.mark.parametrize("row", [*ROWS, *WORKBOOKS], ids=str)
def test_no_answer_names_the_contact_to_whoever_may_not_see_it(reached, row):
    address = row.address.format_map(reached.parts)
    answer = ask(reached.browser(who_may.SUBCONTRACTOR), row.method, address)
    assert not named_in(body_of(answer))


@pytest.mark.parametrize("address", ["/api/v1/customers/", "/api/v1/customers/{customer}/"])
def test_others_see_it(reached, address):
    answer = reached.browser(who_may.FITTER).get(address.format_map(reached.parts))
    assert named_in(body_of(answer)) == {EMAIL, TELEPHONE, "1632960961"}


def test_what_is_kept_back_is_null_beside_the_name(reached):
    address = f"/api/v1/customers/{reached.parts['customer']}/"
    customer = reached.browser(who_may.SUBCONTRACTOR).get(address).json()
    assert customer["name"] == reached.job.customer.name
    assert (customer["email"], customer["telephone"]) == (None, None)


def test_why_a_letter_came_back_is_for_those_who_may_see_where_it_went(reached):
    address = f"/jobs/{reached.job.reference}/"
    assert EMAIL in body_of(reached.browser(who_may.FITTER).get(address))
    assert "no such mailbox" not in body_of(reached.browser(who_may.SUBCONTRACTOR).get(address))


@pytest.mark.parametrize("kind", KINDS)
def test_no_paper_is_drawn_from_a_record_that_names_the_contact(reached, kind):
    """A paper shows its record and the photos that it names, and nothing else."""
    asked = Document.objects.get(pk=reached.parts["document"])
    asked.job, asked.kind = reached.job, kind
    assert not named_in(msgspec.json.encode(KINDS[kind].record(asked)).decode())


def body_of(answer) -> str:
    content = b"".join(answer) if answer.streaming else answer.content
    if is_zipfile(BytesIO(content)):
        with ZipFile(BytesIO(content)) as parts:
            content = b"".join(parts.read(name) for name in parts.namelist())
    return content.decode("utf-8", errors="replace")


def named_in(text: str) -> set[str]:
    return {contact for contact in CONTACT if contact in text}
