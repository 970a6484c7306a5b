"""A catalogue in an invented language, made of every text that is marked for translation.

Each translation is the English text with accents, between brackets: a text that comes without
brackets was left out, and one in pieces has more brackets than one pair.
"""

import re
import subprocess
from collections.abc import Iterator
from importlib.util import find_spec
from pathlib import Path
from typing import Any

import polib
from django.utils.translation.template import templatize

from jobs.management.commands.makemessages import Command
from tests.language.folders import FOLDERS, PROJECT_DIR, sources

LANGUAGE = "xa"
OPENING, CLOSING = "⟦", "⟧"
ACCENTS = str.maketrans("aceinosuyACEINOSUY", "âçéîñôšûýÂÇÉÎÑÔŠÛÝ")
# Placeholders, tags and entities are kept.
KEPT = re.compile(r"(\{[^{}]*\}|%\(\w+\)[sd]|%[sd%]|<[^>]*>|&\w+;)")
# Beside xgettext's own, as Django's `makemessages` asks for them.
KEYWORDS = (
    "gettext_noop",
    "gettext_lazy",
    "ngettext_lazy:1,2",
    "pgettext:1c,2",
    "npgettext:1c,2,3",
    "pgettext_lazy:1c,2",
    "npgettext_lazy:1c,2,3",
)
# Texts of libraries that come onto our pages.
LIBRARIES = {
    "django": "conf/locale/en/LC_MESSAGES/django.po",
    "django.contrib.auth": "locale/en/LC_MESSAGES/django.po",
    "rest_framework": "locale/en/LC_MESSAGES/django.mo",
}


def pseudo(text: str) -> str:
    """`Add a site` as `⟦Âdd â šîté⟧`."""
    parts = KEPT.split(text)
    parts[::2] = [part.translate(ACCENTS) for part in parts[::2]]
    return OPENING + "".join(parts) + CLOSING


def write_catalogue(folder: Path) -> None:
    """Lay the compiled catalogue into `folder`, which is to be among `LOCALE_PATHS`."""
    catalogue = polib.POFile()
    catalogue.metadata = {
        "Content-Type": "text/plain; charset=UTF-8",
        "Plural-Forms": "nplurals=2; plural=(n != 1);",
    }
    entries = {(one.msgctxt, one.msgid): one for one in _entries(folder)}
    catalogue.extend(_translated(entry) for entry in entries.values())
    target = folder / LANGUAGE / "LC_MESSAGES"
    target.mkdir(parents=True)
    catalogue.save_as_mofile(str(target / "django.mo"))


def _translated(entry: Any) -> polib.POEntry:
    source = {"msgctxt": entry.msgctxt, "msgid": entry.msgid}
    if not entry.msgid_plural:
        return polib.POEntry(**source, msgstr=pseudo(entry.msgid))
    plurals = {0: pseudo(entry.msgid), 1: pseudo(entry.msgid_plural)}
    return polib.POEntry(**source, msgid_plural=entry.msgid_plural, msgstr_plural=plurals)


def _entries(folder: Path) -> Iterator[Any]:
    for library, path in LIBRARIES.items():
        spec = find_spec(library)
        assert spec
        assert spec.origin
        read = polib.mofile if path.endswith(".mo") else polib.pofile
        yield from read(str(Path(spec.origin).parent / path))
    yield from polib.pofile(_collected(folder))


def _collected(folder: Path) -> str:
    """Every marked text of ours, as GNU gettext's `xgettext` finds them; the text of a PO file."""
    files = [str(path) for name in FOLDERS for path in sources(name, "*.py")]
    for name in FOLDERS:
        for path in [*sources(name, "*.html"), *sources(name, "*.txt")]:
            relative = path.relative_to(PROJECT_DIR)
            as_source = folder / "templates" / f"{relative}.py"
            as_source.parent.mkdir(parents=True, exist_ok=True)
            as_source.write_text(templatize(path.read_text("utf-8"), origin=str(relative)), "utf-8")
            files.append(str(as_source))
    keywords = [f"--keyword={name}" for name in KEYWORDS]
    command = ["xgettext", "--language=Python", "--output=-", "--files-from=-"]
    return subprocess.run(
        [*command, *Command.xgettext_options, *keywords],
        input="\n".join(files),
        capture_output=True,
        text=True,
        check=True,
        encoding="utf-8",
    ).stdout
