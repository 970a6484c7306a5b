"""What is written to the log: enough to follow a request, and nothing about a customer."""

import io
import json
import logging
import re
import time
from collections.abc import Iterator

import pytest
from django.db import IntegrityError, transaction
from django.test import Client
from django.urls import reverse
from django_structlog.celery.receivers import CeleryReceiver
from rest_framework.test import APIClient

from config.logs import formatter
from jobs.idempotency import IdempotencyKey
from jobs.models import Customer, Person
from jobs.tasks import seal_journal
from reports.document_links import document_token
from reports.handover_links import handover_token
from reports.models import Document
from reports.services.documents import issue_certificate
from reports.services.making import store_paper
from reports.tasks import make_document
from reports.views import document_link_views
from tests import factories
from tests.journal import changed
from tests.reports.asked import asked_certificate
from tests.reports.conftest import PDF
from tests.reports.fitted import handed_over_job

pytestmark = pytest.mark.django_db

NAME, EMAIL, TELEPHONE = "Oona Quillfeather", "oona.quillfeather@example.org", "+441632960123"
STREET, TOWN, POSTCODE = "47 Quillfeather Row", "Quillham", "ZZ9 9QF"


class Log:
    """Everything that would have been written from INFO on, as JSON."""

    def __init__(self) -> None:
        self.text = io.StringIO()

    @property
    def lines(self) -> list[dict]:
        return [json.loads(line) for line in self.text.getvalue().splitlines()]

    def of(self, event: str) -> list[dict]:
        return [line for line in self.lines if line["event"] == event]


def written(form: str) -> Iterator[Log]:
    log = Log()
    handler = logging.StreamHandler(log.text)
    handler.setFormatter(formatter(form))
    logging.getLogger().addHandler(handler)
    yield log
    logging.getLogger().removeHandler(handler)


@pytest.fixture
def log() -> Iterator[Log]:
    yield from written("json")


@pytest.fixture
def plain() -> Iterator[Log]:
    yield from written("plain")


@pytest.fixture
def office() -> Person:
    return factories.person("office", username="robin-of-the-office")


def requests(log: Log) -> list[tuple]:
    return [(line["method"], line["route"], line["status"]) for line in log.of("request")]


def test_a_request_is_one_line(log, office):
    job = factories.job(office)
    client = Client()
    client.force_login(office)
    answer = client.get(f"/jobs/{job.reference}/")
    (line,) = log.lines
    assert re.fullmatch("[0-9a-f]{32}", line["request_id"])
    assert line["request_id"] == answer["X-Request-ID"]
    assert line["milliseconds"] > 0
    assert {key: line[key] for key in ("event", "method", "route", "status", "person", "job")} == {
        "event": "request",
        "method": "GET",
        "route": "job",
        "status": 200,
        "person": str(office.pk),
        "job": job.reference,
    }


def test_a_program_is_told_by_its_person_too(log, office):
    client = APIClient()
    body = {"username": office.username, "password": factories.PASSWORD, "role": "office"}
    secret = client.post("/api/v1/tokens/", body, format="json").json()["token"]
    client.credentials(HTTP_AUTHORIZATION=f"Token {secret}")
    client.get("/api/v1/jobs/")
    assert requests(log) == [("POST", "token-list", 201), ("GET", "job-list", 200)]
    assert log.lines[1]["person"] == str(office.pk)
    assert secret not in log.text.getvalue()


def test_an_address_that_no_route_knows_is_not_repeated(log):
    Client().get("/verify/oona.quillfeather@example.org/and/more/")
    Client().get("/jobs/Quillfeather/")
    assert requests(log) == [("GET", "none", 404), ("GET", "job", 302)]
    assert "uillfeather" not in log.text.getvalue()
    assert "job" not in log.lines[1]


def test_health_checks_leave_no_line(log):
    Client().get("/ready/")
    assert log.lines == []


def take_on_by_typing(client: Client) -> Customer:
    typed = {"name": NAME, "email": EMAIL, "telephone": TELEPHONE}
    refused = client.post("/customers/new/", {**typed, "email": "oona.quillfeather@"})
    assert refused.status_code == 400
    page = client.get("/customers/new/").content.decode()
    key = re.search(r'name="id" value="([^"]+)"', page)[1]
    assert client.post("/customers/new/", {**typed, "id": key}).status_code == 302
    customer = Customer.objects.get(name=NAME)
    client.get("/jobs/?q=Quillfeather")
    client.get(f"/customers/{customer.pk}/")
    return customer


def certified_job(office: Person) -> Document:
    """From survey to the letter in the customer's inbox."""
    fitter = factories.person("fitter")
    job = handed_over_job(office, fitter, name=NAME, email=EMAIL, telephone=TELEPHONE)
    places = {"address_line_1": STREET, "town": TOWN, "postcode": POSTCODE}
    changed(job.site, **places)
    paper = issue_certificate(actor=office, idempotency_key=IdempotencyKey(), job=job)
    make_document.apply([str(paper.pk)])
    assert paper.dispatches.get().state == "sent"
    return Document.objects.get(pk=paper.pk)


@pytest.fixture
def told_of_tasks() -> Iterator[None]:
    """As in a worker."""
    receiver = CeleryReceiver()
    receiver.connect_worker_signals()
    yield
    del receiver


def test_nothing_of_a_customer_is_in_the_log_of_a_whole_job(log, plain, office, told_of_tasks):
    client = Client()
    signing_in = {"username": office.username, "password": factories.PASSWORD}
    client.post("/sign-in/", signing_in | {"password": "wrong-Quillfeather"})
    client.post("/sign-in/", signing_in)
    take_on_by_typing(client)
    paper = certified_job(office)
    handover, link = handover_token(paper.job), document_token(paper)
    with paper.file.open("rb") as file:
        for sent in ({"file": file}, {"paper": file}, {}):
            client.post(reverse("verify", args=[paper.verification_code]), sent)
    for address in (
        reverse("verify", args=[paper.verification_code]),
        f"/api/v1/verifications/{paper.verification_code}/",
        reverse("customer-handover", args=[handover]),
        reverse("linked-document", args=[link]),
        f"/papers/{link}broken/",
        f"/jobs/{paper.job.reference}/",
        f"/jobs/{paper.job.reference}/journal/",
        "/jobs/export.csv?q=Quillfeather",
    ):
        assert client.get(address).status_code < 500
    assert log.text.getvalue().count("route") > 15
    assert plain.text.getvalue().count("route") > 15
    text = log.text.getvalue() + plain.text.getvalue()
    assert "status=500" not in text
    assert '"status": 500' not in text
    secrets = [paper.verification_code, handover, link, handover.partition(":")[0]]
    people = [NAME, EMAIL, TELEPHONE, "1632960123", STREET, TOWN, POSTCODE, "Quill"]
    signing = [factories.PASSWORD, office.username, client.cookies["sessionid"].value]
    leaked = [word for word in secrets + people + signing if word.casefold() in text.casefold()]
    assert leaked == []


def test_a_task_tells_when_it_began_and_ended(log, told_of_tasks):
    seal_journal.apply()
    began, ended = log.lines
    assert (began["event"], ended["event"]) == ("task_started", "task_succeeded")
    assert began["task"] == ended["task"] == "jobs.tasks.seal_journal"
    assert began["task_id"] == ended["task_id"]
    assert ended["duration_ms"] >= 0


def test_a_task_that_fails_is_told_without_what_it_was_given(log, told_of_tasks):
    make_document.apply(["Quillfeather"])
    (failed,) = log.of("task_failed")
    assert failed["fault"].startswith("ValidationError")
    assert failed["task"] == "reports.tasks.make_document"
    assert "Quillfeather" not in log.text.getvalue()


def test_a_fault_is_told_by_its_kind_and_place_and_not_by_its_words(log, office):
    factories.customer(office, name=NAME, email=EMAIL)
    first = Customer.objects.get()
    try:
        with transaction.atomic():
            Customer.objects.create(pk=first.pk, name=NAME, email=EMAIL)
    except IntegrityError:
        logging.getLogger("somebody.elses").exception("it failed")
    (line,) = log.of("it failed")
    assert line["fault"].startswith("IntegrityError from ")
    assert any("tests/config/test_logs.py" in place for place in line["at"])
    assert str(first.pk) not in log.text.getvalue()
    assert NAME not in log.text.getvalue()


def test_a_fault_in_a_request_is_told_once_with_its_number(log, office, monkeypatch):
    job = factories.job(office, customer=factories.customer(office, name=NAME, email=EMAIL))
    store_paper(document=asked_certificate(office, job), pdf=PDF)

    def fail(token: str) -> None:
        raise FileNotFoundError(token)

    monkeypatch.setattr(document_link_views, "document_of", fail)
    client = Client(raise_request_exception=False)
    code = document_token(Document.objects.get())
    answer = client.get(f"/papers/{code}/")
    (fault,) = log.of("fault")
    assert answer.status_code == 500
    assert fault["request_id"] == answer["X-Request-ID"]
    assert fault["fault"] == "FileNotFoundError"
    assert code not in log.text.getvalue()


def test_plain_lines_can_be_read(plain):
    Client().get("/sign-in/")
    assert re.fullmatch(
        r"\S+Z \[info\s*\] request \[sillwright.request\] method=GET milliseconds=[\d.]+ "
        r"request_id=\w{32} route=sign-in status=200\n",
        plain.text.getvalue(),
    )


def test_a_form_of_lines_that_does_not_exist_is_refused():
    with pytest.raises(ValueError, match="json or plain, not xml"):
        formatter("xml")


def test_how_long_a_request_took_is_about_right(log):
    began = time.perf_counter()
    Client().get("/sign-in/")
    assert 0 < log.lines[0]["milliseconds"] <= 1000 * (time.perf_counter() - began) + 1
