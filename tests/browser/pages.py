"""What must hold for every page, whatever it shows."""

from pathlib import Path
from typing import Any

from axe_playwright_python.base import AxeResults
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page

# WCAG 2.2 AA and everything that it builds on.
STANDARD = {"runOnly": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]}
# What other colours can break, and what another width can while it leaves the colours as they are.
CONTRASTS = ["color-contrast", "link-in-text-block"]
OF_COLOURS = {"runOnly": {"type": "rule", "values": CONTRASTS}}
OF_WIDTHS = STANDARD | {"rules": {rule: {"enabled": False} for rule in CONTRASTS}}
AXE = Axe()

PHONE = {"width": 360, "height": 740}
DESK = {"width": 1280, "height": 900}

# The violations, and by how many pixels the page is wider than the screen. The bar under the thumb
# is laid where it ends: what is half scrolled below it is not too small, it is on its way.
LOOK = """async (rules) => {
  const bars = document.querySelectorAll(".under-thumb");
  for (const bar of bars) bar.style.position = "static";
  const { violations, url } = await axe.run({ resultTypes: ["violations"], ...rules });
  for (const bar of bars) bar.style.position = "";
  const { scrollWidth, clientWidth } = document.documentElement;
  return { violations, url, tooWide: scrollWidth - clientWidth };
}"""
# Those elements whose colours are not what they were when this was asked the last time.
RECOLOURED = """() => {
  const before = window.coloursBefore ?? new Map();
  const coloursOf = (element) => {
    const { color, backgroundColor, backgroundImage, opacity } = getComputedStyle(element);
    return [color, backgroundColor, backgroundImage, opacity].join();
  };
  const elements = Array.from(document.body.querySelectorAll("*"));
  window.coloursBefore = new Map(elements.map((element) => [element, coloursOf(element)]));
  return elements
    .filter((element) => before.has(element) && before.get(element) !== coloursOf(element))
    .map((element) => element.outerHTML.slice(0, 100));
}"""


def assert_sound(page: Page, rules: dict[str, Any] = STANDARD) -> None:
    """Readable by everybody as far as a program can tell, and never wider than the screen."""
    if not page.evaluate("'axe' in window"):
        page.evaluate(AXE.axe_script)
    _assert_sound_now(page, rules)


def _assert_sound_now(page: Page, rules: dict[str, Any]) -> None:
    seen = page.evaluate(LOOK, rules)
    too_wide = seen.pop("tooWide")
    broken = AxeResults(seen)
    assert broken.violations_count == 0, broken.generate_report()
    assert too_wide <= 0, f"{page.url} is {too_wide} px wider than the screen"


def assert_sound_in_every_look(page: Page) -> None:
    """Sound on a phone and at a desk, in light and in dark colours. Contrasts take longest and are
    reckoned once in each scheme: another width changes no colour."""
    own = page.viewport_size
    page.set_viewport_size(DESK)
    page.emulate_media(color_scheme="dark")
    assert_sound(page, OF_COLOURS)
    page.emulate_media(color_scheme="light")
    _assert_sound_now(page, STANDARD)
    page.evaluate(RECOLOURED)
    page.set_viewport_size(PHONE)
    _assert_sound_now(page, OF_WIDTHS)
    assert page.evaluate(RECOLOURED) == [], f"{page.url} has other colours on a phone"
    page.emulate_media(color_scheme=None)
    page.set_viewport_size(own)


def picture(page: Page, folder: Path, name: str) -> None:
    """For looking at: the whole page as PNG."""
    page.screenshot(path=folder / f"{name}.png", full_page=True)
