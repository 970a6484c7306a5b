"""What people outside the firm open: papers verified, doors explained, the API documented."""

import re
from pathlib import Path

import pytest
import rfc8785
from django.conf import settings
from django.db import transaction
from django.utils import timezone
from django_otp.oath import totp
from django_otp.plugins.otp_totp.models import TOTPDevice
from playwright.sync_api import Page, expect

from installs.services.defects import record_defect
from jobs.idempotency import IdempotencyKey
from jobs.journal_types import JournalType
from jobs.models import Job, Person
from jobs.services.records import store_new
from reports.handover_links import handover_token
from reports.models import Document
from reports.services.making import HEAD_START, store_paper
from tests import factories
from tests.browser.conftest import PHONE
from tests.browser.pages import assert_sound, assert_sound_in_every_look
from tests.journal import changed
from tests.reports.fitted import handed_over_job
from tests.reports.records import certificate_facts, doorset

PDF = b"%PDF-1.7 a paper that was issued"


def certificate(office: Person, job: Job) -> Document:
    """Made, of a few bytes."""
    facts = certificate_facts(doorset(1, "Garden wall", "2-2-0", 1800, 2100))
    document = Document(
        job=job,
        kind=Document.Kind.COMPLETION_CERTIFICATE,
        number=f"{job.reference}-C",
        edition=1,
        record=rfc8785.dumps(facts).decode(),
        next_attempt_at=timezone.now() + HEAD_START,
    )
    with transaction.atomic():
        store_new(document, actor=office, entry_type=JournalType.DOCUMENT_REQUESTED)
    store_paper(document=document, pdf=PDF)
    return Document.objects.get(pk=document.pk)


@pytest.fixture
def office(transactional_db) -> Person:
    return factories.person("office")


@pytest.fixture
def paper(office: Person) -> Document:
    return certificate(office, factories.job(office))


@pytest.fixture
def home(office: Person) -> Job:
    """Handed over, with one defect still open and a certificate."""
    fitter = factories.person("fitter")
    job = handed_over_job(office, fitter)
    record_defect(
        actor=fitter,
        idempotency_key=IdempotencyKey(),
        installation=job.openings.get().doorsets.get().installation,
        severity="minor",
        description="Scratch on the bead of leaf 3",
    )
    certificate(office, job)
    return job


def verification(document: Document) -> str:
    return f"/verify/{document.verification_code}/"


def shows(page: Page, words: str) -> None:
    expect(page.get_by_text(words, exact=False).first).to_be_visible()


def test_the_page_of_a_paper_that_was_altered_outside_the_service_is_sound(context_of, paper):
    Document.objects.update(superseded_at=timezone.now())
    page = context_of(None).new_page()
    page.goto(verification(paper))
    shows(page, "Not confirmed.")
    assert_sound_in_every_look(page)


def test_the_verification_page_is_sound_in_every_status(context_of, paper):
    page = context_of(None).new_page()
    page.goto(verification(paper))
    shows(page, "Genuine.")
    assert_sound_in_every_look(page)
    paper = changed(paper, superseded_at=timezone.now())
    page.reload()
    shows(page, "Superseded.")
    assert_sound_in_every_look(page)
    paper = changed(paper, withdrawn_at=timezone.now(), withdrawal_reason="wrong leaf sizes")
    page.reload()
    shows(page, "wrong leaf sizes")
    assert_sound_in_every_look(page)
    page.goto("/verify/AAAAAAAAAAAAAAAAAAAAAA/")
    shows(page, "Unknown.")
    assert_sound_in_every_look(page)


@pytest.mark.parametrize(("content", "verdict"), [(PDF, "Identical."), (PDF + b" ", "Different.")])
def test_a_file_is_compared_with_the_paper(context_of, paper, tmp_path: Path, content, verdict):
    mine = tmp_path / "mine.pdf"
    mine.write_bytes(content)
    page = context_of(None, PHONE).new_page()
    page.goto(verification(paper))
    page.get_by_label("The PDF you received").set_input_files(mine)
    page.get_by_role("button", name="Compare").click()
    shows(page, verdict)
    assert_sound(page)


def test_whoever_asks_too_often_reads_how_long_to_wait(context_of, paper):
    page = context_of(None, PHONE).new_page()
    for _ in range(30):
        page.request.get(verification(paper))
    page.goto(verification(paper))
    shows(page, "A moment, please")
    assert_sound(page)


def test_the_page_of_a_home_is_sound(context_of, home):
    page = context_of(None).new_page()
    page.goto(f"/handover/{handover_token(home)}/")
    expect(
        page.get_by_role("img", name=re.compile("Doorset 5-5-0 seen from outside"))
    ).to_be_visible()
    shows(page, "Scratch on the bead of leaf 3")
    shows(page, "Begin with the access leaf")
    assert_sound_in_every_look(page)
    page.goto("/handover/not-a-link/")
    shows(page, "No such link")
    assert_sound_in_every_look(page)


def test_a_customer_fetches_the_certificate(context_of, home):
    page = context_of(None, PHONE).new_page()
    page.goto(f"/handover/{handover_token(home)}/")
    with page.expect_download() as fetched:
        page.get_by_role("link", name="Download the certificate").click()
    assert Path(fetched.value.path()).read_bytes() == PDF
    page.get_by_role("link", name="Check that it is genuine").click()
    shows(page, "Genuine.")


@pytest.fixture
def _public_address(live_server, settings) -> None:
    settings.PUBLIC_ADDRESS = live_server.url


@pytest.mark.usefixtures("_public_address")
def test_the_office_makes_a_link_for_the_customer(context_of, office, home):
    page = context_of(office).new_page()
    page.goto(f"/jobs/{home.reference}/handover-link/")
    page.get_by_role("button", name="Make a new link").click()
    shows(page, "It works until")
    assert_sound_in_every_look(page)
    page.get_by_role("link", name=f"{settings.PUBLIC_ADDRESS}/handover/").click()
    shows(page, "Your folding sliding doors")


def test_a_second_factor_is_enrolled_and_asked_for(context_of, office):
    page = context_of(office).new_page()
    page.goto("/second-factor/")
    assert_sound_in_every_look(page)
    page.get_by_role("button", name="Begin").click()
    expect(page.locator(".secret svg")).to_be_visible()
    assert_sound_in_every_look(page)
    page.get_by_label("Code", exact=True).fill("000000")
    page.get_by_role("button", name="Switch on").click()
    shows(page, "It is wrong or was used before")
    assert_sound_in_every_look(page)
    TOTPDevice.objects.update(throttling_failure_count=0)
    page.get_by_label("Code", exact=True).fill(f"{totp(TOTPDevice.objects.get().bin_key):06d}")
    page.get_by_role("button", name="Switch on").click()
    expect(page.locator(".recovery li")).to_have_count(10)
    assert_sound_in_every_look(page)
    recovery = page.locator(".recovery li").first.inner_text()
    page.get_by_role("link", name="I have written them down").click()
    assert_sound_in_every_look(page)
    page.get_by_role("button", name="Sign out").click()
    page.get_by_label("Name").fill(office.username)
    page.get_by_label("Password").fill(factories.PASSWORD)
    page.get_by_role("button", name="Sign in").click()
    assert_sound_in_every_look(page)
    page.get_by_label("Code", exact=True).fill(recovery)
    page.get_by_role("button", name="Continue").click()
    expect(page.get_by_role("navigation", name="Main")).to_be_visible()


def test_the_api_documents_every_operation(context_of):
    page = context_of(None).new_page()
    schema = page.request.get("/api/v1/schema/?format=json").json()
    wanted = {
        (method.upper(), path)
        for path, operations in schema["paths"].items()
        for method in operations.keys() & {"get", "post", "put", "patch", "delete"}
    }
    page.goto("/api/v1/docs/")
    page.locator(".opblock").first.wait_for(timeout=90_000)
    assert _operations_on_the_way_down(page, len(wanted)) == wanted


def _operations_on_the_way_down(page: Page, enough: int) -> set[tuple[str, str]]:
    """The page holds only what is near the screen; what comes into it is gathered."""
    read = """blocks => blocks.map(block => [
        block.querySelector(".opblock-summary-method").textContent,
        block.querySelector("[data-path]").dataset.path])"""
    routes: set[tuple[str, str]] = set()
    page.mouse.move(600, 400)
    for _ in range(150):
        routes |= {(method, path) for method, path in page.locator(".opblock").evaluate_all(read)}
        if len(routes) >= enough:
            break
        page.mouse.wheel(0, 500)
        page.wait_for_timeout(150)
    return routes


def test_the_api_docs_ask_nobody_elsewhere_to_look_at_them(client):
    """On another host than this machine's own the browser would."""
    assert '"validatorUrl": null' in client.get("/api/v1/docs/?script=").content.decode()
