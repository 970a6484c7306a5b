"""What must hold for every page, whatever it shows."""

from collections.abc import Iterator
from pathlib import Path
from typing import Any

from axe_playwright_python.base import AxeResults
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page

# WCAG 2.2 AA and everything that it builds on.
STANDARD = {"type": "tag", "values": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]}
# What another choice of colours can break.
OF_COLOURS = {"type": "rule", "values": ["color-contrast"]}
AXE = Axe()

PHONE = {"width": 360, "height": 740}
DESK = {"width": 1280, "height": 900}


def assert_sound(page: Page, rules: dict[str, Any] = STANDARD) -> None:
    """Readable by everybody as far as a program can tell, and never wider than the screen."""
    if not page.evaluate("'axe' in window"):
        page.evaluate(AXE.axe_script)
    found = page.evaluate(
        "rules => axe.run({runOnly: rules, resultTypes: ['violations']})"
        ".then(({violations, url}) => ({violations, url}))",
        rules,
    )
    broken = AxeResults(found)
    assert broken.violations_count == 0, broken.generate_report()
    too_wide = page.evaluate(
        "document.documentElement.scrollWidth - document.documentElement.clientWidth"
    )
    assert too_wide <= 0, f"{page.url} is {too_wide} px wider than the screen"


def assert_sound_in_every_look(page: Page) -> None:
    """Sound on a phone and at a desk, in light and in dark colours."""
    for rules in _looks(page):
        assert_sound(page, rules)


def _looks(page: Page) -> Iterator[dict[str, Any]]:
    """Shows the page in each look, and gives the rules that this look can break; at the end it
    looks as it did."""
    own = page.viewport_size
    for size in (PHONE, DESK):
        page.set_viewport_size(size)
        for scheme, rules in (("light", STANDARD), ("dark", OF_COLOURS)):
            page.emulate_media(color_scheme=scheme)
            yield rules
    page.emulate_media(color_scheme=None)
    page.set_viewport_size(own)


def picture(page: Page, folder: Path, name: str) -> None:
    """For looking at: the whole page as PNG."""
    page.screenshot(path=folder / f"{name}.png", full_page=True)
