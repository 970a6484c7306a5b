"""Sentences of layers that know no framework: marked for translation here, translated at the edge.

An English sentence remembers its template and values, so that `jobs.translation.translated` can
write it in the reader's language. It is stored and sent as the plain English text that it is. Pure.
"""

import re
from functools import lru_cache
from typing import Any, Self

PLACEHOLDER = re.compile(r"\{(\w+)[^{}]*\}")


class Sentence(str):
    """A text whose `template` is in the catalogue; `values` fill its placeholders."""

    template: str
    values: dict[str, Any]

    def __new__(cls, text: str, template: str, values: dict[str, Any]) -> Self:
        made = super().__new__(cls, text)
        made.template = template
        made.values = values
        return made

    def __getnewargs__(self) -> Any:
        return str(self), self.template, self.values


def sentence(template: str, /, **values: Any) -> Sentence:
    """`template` is a literal, since literals are what is collected for translators: a whole
    sentence with named placeholders as `str.format` reads them, such as `{width:g} mm is no size`.
    """
    return Sentence(template.format(**values), template, values)


class StoredSentence:
    """A template whose sentences are stored in records, and read from them again.

    Defined once, at the head of a module; called with its values it makes the sentence.
    """

    defined: list["StoredSentence"] = []

    def __init__(self, template: str) -> None:
        self.template = template
        self._beginning = PLACEHOLDER.split(template, maxsplit=1)[0]
        self._pattern = re.compile(_pattern(template), re.DOTALL)
        self.defined.append(self)

    def __call__(self, **values: Any) -> Sentence:
        return Sentence(self.template.format(**values), self.template, values)

    def read(self, text: str) -> Sentence | None:
        """The sentence with its values as they were written; None for any other text."""
        # A page reads a hundred texts by every template; most differ from their first word on.
        if not text.startswith(self._beginning):
            return None
        match = self._pattern.fullmatch(text)
        return Sentence(text, self.template, match.groupdict()) if match else None


def read_stored(text: str) -> Sentence | None:
    """The sentence that a stored text was made as; None for a text without placeholders."""
    return _read_stored(text, len(StoredSentence.defined))


# The gates of one job read the titles of its steps again and again, and every template is tried on
# each; a module that is loaded later may define the template of a text that was none before.
@lru_cache(maxsize=4096)
def _read_stored(text: str, _defined: int) -> Sentence | None:
    readings = (stored.read(text) for stored in StoredSentence.defined)
    return next((reading for reading in readings if reading is not None), None)


def _pattern(template: str) -> str:
    """A regular expression with a named group for each placeholder."""
    parts, end, names = [], 0, set[str]()
    for placeholder in PLACEHOLDER.finditer(template):
        name = placeholder[1]
        parts.append(re.escape(template[end : placeholder.start()]))
        parts.append(f"(?P={name})" if name in names else f"(?P<{name}>.+?)")
        names.add(name)
        end = placeholder.end()
    return "".join([*parts, re.escape(template[end:])])
