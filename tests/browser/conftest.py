"""A real browser without a screen, signed in as somebody, on a server of this test's own.

Needs Chromium; a machine without it skips these tests and says so (`CI` set: they fail instead).
"""

import os
import shutil
from collections.abc import Callable, Iterator
from urllib.parse import urlsplit

import pytest
from django.test import Client
from playwright.sync_api import Browser, BrowserContext, Playwright, sync_playwright

from jobs.models import Person
from tests import factories
from tests.browser.pages import DESK, PHONE

# The browser's driver runs an event loop in this thread; the records are only used between its
# steps, never inside one.
os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"] = "true"

# The first is the same without windows of its own, and needs a third less time.
CHROMIUM = (
    shutil.which("chromium-headless-shell")
    or shutil.which("chromium")
    or shutil.which("chromium-browser")
)
QUIET = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]


# For these tests alone: while its event loop runs in this thread, nothing else there can start one,
# and signing a paper does.
@pytest.fixture(scope="package")
def _playwright() -> Iterator[Playwright]:
    with sync_playwright() as started:
        yield started


@pytest.fixture(scope="package")
def chromium(_playwright: Playwright) -> Iterator[Browser]:
    if CHROMIUM is None:
        if os.environ.get("CI"):
            pytest.fail("no chromium on this machine")
        pytest.skip("needs Chromium: apt-get install chromium-headless-shell")
    browser = _playwright.chromium.launch(executable_path=CHROMIUM, args=QUIET)
    yield browser
    browser.close()


@pytest.fixture
def context_of(chromium: Browser, transactional_db, live_server) -> Iterator[Callable]:
    """`context_of(person, size=PHONE)`: a browser of its own, signed in as `person` (None: as
    nobody). It saves no pages for when there is no network unless it `saves_pages`: today's page
    alone would have it fetch a hundred. No request may leave the machine, and no page may break the
    policy for its content; the test fails at its end if one did."""
    opened: list[BrowserContext] = []
    trespasses: list[str] = []

    def open_context(
        person: Person | None, size: dict[str, int] = DESK, *, saves_pages: bool = False
    ) -> BrowserContext:
        context = chromium.new_context(
            base_url=live_server.url,
            viewport=size,
            has_touch=size is PHONE,
            service_workers="allow" if saves_pages else "block",
        )
        context.on("request", lambda request: _note_foreign(request.url, trespasses))
        context.on("console", lambda message: _note_broken_policy(message.text, trespasses))
        opened.append(context)
        if person:
            _hold_session(context, person, live_server.url)
        return context

    yield open_context
    for context in opened:
        context.close()
    assert trespasses == []


def sign_in(context: BrowserContext, person: Person) -> None:
    """On the page, in a browser that somebody may have used before."""
    page = context.new_page()
    page.goto("/sign-in/")
    page.get_by_label("Name").fill(person.username)
    page.get_by_label("Password").fill(factories.PASSWORD)
    page.get_by_role("button", name="Sign in").click()
    page.wait_for_url(lambda address: "/sign-in/" not in address)
    page.close()


def _hold_session(context: BrowserContext, person: Person, address: str) -> None:
    """As if signed in before: pages for that are opened where they are what is tested."""
    client = Client()
    client.force_login(person)
    [cookie] = client.cookies.values()
    context.add_cookies([{"name": cookie.key, "value": cookie.value, "url": address}])


def _note_foreign(address: str, trespasses: list[str]) -> None:
    address_parts = urlsplit(address)
    if address_parts.scheme not in ("blob", "data") and address_parts.hostname not in (
        "localhost",
        "127.0.0.1",
    ):
        trespasses.append(f"a request left for {address}")


def _note_broken_policy(text: str, trespasses: list[str]) -> None:
    if "Content Security Policy" in text:
        trespasses.append(text)
