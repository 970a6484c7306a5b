"""What must hold for every page, whatever it shows."""

from pathlib import Path

from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page

# WCAG 2.2 AA and everything that it builds on.
STANDARD = {
    "runOnly": {
        "type": "tag",
        "values": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"],
    }
}


def assert_sound(page: Page) -> None:
    """Readable by everybody as far as a program can tell, and never wider than the screen."""
    broken = Axe().run(page, options=STANDARD)
    assert broken.violations_count == 0, broken.generate_report()
    too_wide = page.evaluate(
        "document.documentElement.scrollWidth - document.documentElement.clientWidth"
    )
    assert too_wide <= 0, f"{page.url} is {too_wide} px wider than the screen"


def picture(page: Page, folder: Path, name: str) -> None:
    """For looking at: the whole page as PNG."""
    page.screenshot(path=folder / f"{name}.png", full_page=True)
