"""What somebody reads of a page, or hears of it, that no translation brackets."""

import json
import re
from collections.abc import Iterable, Iterator
from html.parser import HTMLParser
from typing import Any

from tests.language.catalogue import CLOSING, OPENING

READ_ALOUD = {"title", "alt", "aria-label", "placeholder", "data-label", "label"}
NOT_READ = {"script", "style", "code"}
VOID = {"area", "br", "col", "hr", "img", "input", "link", "meta", "wbr"}
BUTTONS = {"submit", "button", "reset"}
LETTERS = re.compile(r"[^\W\d_]{2,}")
# Units, addresses, marks of standards and the name of the project are alike in every language.
ALIKE = re.compile(
    r"\b(I{1,3}|mm|cm|mK|m|kg|m²K|MB|min|Sillwright|CSV|XLSX|PDF|API|SHA-256|JSON|"
    r"(BS )?EN( ISO)? \d[\d-]*)\b|https?://\S+|\S+@\S+"
)


class _Reader(HTMLParser):
    """Gathers the texts of a page that stand outside all brackets, save what `translate="no"` marks
    as data."""

    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.outside: list[str] = []
        self.depth = 0
        self.silent: list[str] = []
        self.for_scripts = False

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = {name: value or "" for name, value in attrs}
        if tag not in VOID and (self.silent or tag in NOT_READ or given.get("translate") == "no"):
            self.silent.append(tag)
        self.for_scripts = tag == "script" and given.get("type") == "application/json"
        self.outside += [
            outside(value) for name, value in given.items() if name in READ_ALOUD and value
        ]
        if tag == "input" and given.get("type") in BUTTONS:
            self.outside.append(outside(given.get("value", "")))

    def handle_endtag(self, tag: str) -> None:
        self.for_scripts = False
        if self.silent and self.silent[-1] == tag:
            self.silent.pop()

    def handle_data(self, data: str) -> None:
        if self.for_scripts:
            self.outside += [outside(text) for text in _texts_of(json.loads(data))]
        elif not self.silent:
            text, self.depth = _outside(data, self.depth)
            self.outside.append(text)


def _texts_of(value: Any) -> Iterator[str]:
    """Texts that a page gives its scripts as JSON, by name."""
    if isinstance(value, dict | list):
        for inner in value.values() if isinstance(value, dict) else value:
            yield from _texts_of(inner)
    elif isinstance(value, str):
        yield value


def texts_left_out(html: str, data: Iterable[str]) -> Iterator[str]:
    """Texts of a page with letters in them that neither were translated nor are `data`."""
    reader = _Reader()
    reader.feed(html)
    yield from left_out(reader.outside, data)
    if reader.depth:
        yield "(a translation that is cut off)"


def left_out(texts: Iterable[str], data: Iterable[str]) -> Iterator[str]:
    """Those of `texts` with letters outside brackets that are no data."""
    longest_first = sorted({text for text in data if text}, key=len, reverse=True)
    for text in texts:
        rest = outside(text)
        for known in longest_first:
            if known in rest:
                rest = re.sub(rf"(?<!\w){re.escape(known)}(?!\w)", " ", rest)
        if LETTERS.search(ALIKE.sub(" ", rest)):
            yield " ".join(rest.split())


def outside(text: str) -> str:
    """What of one text no bracket holds."""
    return _outside(text, 0)[0]


def _outside(text: str, depth: int) -> tuple[str, int]:
    kept = []
    for character in text:
        if character == OPENING:
            depth += 1
        elif character == CLOSING:
            depth -= 1
        elif not depth:
            kept.append(character)
    return "".join(kept), depth
