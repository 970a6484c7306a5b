"""Sentences of the pure layers, and stored ones, in the language of whoever reads them."""

from typing import TYPE_CHECKING, Any

from django.utils.formats import get_format
from django.utils.translation import gettext

from jobs.code_labels import code_label
from jobs.sentences import Sentence, read_stored

if TYPE_CHECKING:
    from django.utils.functional import _StrPromise


# A text for people, translated now or when it is shown.
if TYPE_CHECKING:
    Text = str | _StrPromise
else:
    Text = str


class _Number(float):
    """Formatted as its template asks, with the decimal separator of the language."""

    def __format__(self, form: str) -> str:
        return float(self).__format__(form).replace(".", get_format("DECIMAL_SEPARATOR"))


class _Written(str):
    """Read from a stored sentence, so formatted already."""

    __slots__ = ()

    def __format__(self, form: str) -> str:
        return str(self)


def translated(text: str) -> str:
    """A sentence of the pure layers, or a text as a record holds it."""
    sentence = text if isinstance(text, Sentence) else read_stored(text)
    if sentence is None:
        # An empty message is the head of a catalogue.
        return gettext(text) if text else ""
    values = {name: _localised(value) for name, value in sentence.values.items()}
    return gettext(sentence.template).format(**values)


def _localised(value: Any) -> Any:
    if isinstance(value, Sentence):
        return translated(value)
    if isinstance(value, str):
        # A sentence inside the sentence, or codes.
        text = translated(value)
        if text == value:
            text = ", ".join(map(code_label, value.split(", ")))
        return _Written(text)
    return _Number(value) if isinstance(value, float) else value
