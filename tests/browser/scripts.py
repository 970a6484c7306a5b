"""The project's own scripts in a real browser, without any page of it and without a server."""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from urllib.parse import urlsplit

from playwright.sync_api import Browser, Page, Route

ORIGIN = "http://scripts.test"
BEGINNING = '<!doctype html><html lang="en"><title>Scripts</title>'
FOLDER = Path(__file__).parents[2] / "installs" / "static" / "installs"


@contextmanager
def bare_page(chromium: Browser, content: str = "") -> Iterator[Page]:
    """A page of this content on which `import("/judging.js")` finds the scripts of the fitting."""
    context = chromium.new_context(base_url=ORIGIN)
    context.route("**/*", lambda route: _answer(route, content))
    page = context.new_page()
    page.goto("/")
    yield page
    context.close()


def _answer(route: Route, content: str) -> None:
    name = urlsplit(route.request.url).path.removeprefix("/")
    if name.endswith(".js"):
        route.fulfill(path=FOLDER / name, content_type="text/javascript")
    else:
        route.fulfill(body=BEGINNING + content, content_type="text/html")
