"""Files from the maker of the profiles: what of them is kept, and what phones are never to open.

A picture is encoded anew, as photographs are. A PDF stays as the maker made it, so it is read
through first: one that runs, sends or brings along something is refused. The names of these parts
are those of ISO 32000-2, 7.11.4 and 12.6.4 (from memory).
"""

import hashlib
from collections.abc import Iterator
from dataclasses import dataclass
from io import BytesIO
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from pypdf import PdfReader
from pypdf.generic import ArrayObject, DictionaryObject, IndirectObject

from surveys.photos import PhotoLimits, UnusablePhoto, check_size, clean_photo

PDF, JPEG = "application/pdf", "image/jpeg"
PDF_HEADER, PDF_TRAILER = b"%PDF-", b"%%EOF"
# Readers look for the end of a PDF in its last 1024 bytes.
TRAILER_WITHIN_BYTES = 1024
PICTURE_HEADERS = (b"\x89PNG\r\n\x1a\n", b"\xff\xd8\xff")
MOST_OBJECTS = 100_000

SCRIPT = gettext_lazy("a script")
LAUNCH = gettext_lazy("an action that opens another file or program")
SENDING = gettext_lazy("a form that sends or fetches data")
EMBEDDED = gettext_lazy("another file inside")
MEDIA = gettext_lazy("a film, a sound or a model")
# By the key of a dictionary, and by the value of its /S (an action) or /Subtype (an annotation).
ACTIVE_KEYS = {
    "/JS": SCRIPT,
    "/JavaScript": SCRIPT,
    "/XFA": SCRIPT,
    "/EmbeddedFiles": EMBEDDED,
    "/EF": EMBEDDED,
}
ACTIVE_KINDS = {
    "/JavaScript": SCRIPT,
    "/Launch": LAUNCH,
    "/GoToR": LAUNCH,
    "/GoToE": LAUNCH,
    "/SubmitForm": SENDING,
    "/ImportData": SENDING,
    "/FileAttachment": EMBEDDED,
    "/RichMedia": MEDIA,
    "/Rendition": MEDIA,
    "/Movie": MEDIA,
    "/Sound": MEDIA,
    "/Screen": MEDIA,
    "/3D": MEDIA,
}


class UnusableFile(ValueError):
    """A file that cannot be kept; the message says why and what is allowed."""


@dataclass(frozen=True, slots=True)
class CleanFile:
    """What is kept, in bytes."""

    content: bytes
    media_type: str

    @property
    def sha256(self) -> str:
        return hashlib.sha256(self.content).hexdigest()

    @property
    def name(self) -> str:
        """By its content, so that it says what it must hold."""
        return f"{self.sha256}.{'pdf' if self.media_type == PDF else 'jpg'}"


def clean_file(content: bytes, limits: PhotoLimits) -> CleanFile:
    """What is kept of a PDF, PNG or JPEG; what it is called does not matter. Raises `UnusableFile`
    for anything else, and for more bytes or pixels than `limits`."""
    try:
        check_size(len(content), limits)
        if content.startswith(PICTURE_HEADERS):
            return CleanFile(clean_photo(content, limits).content, JPEG)
    except UnusablePhoto as error:
        raise UnusableFile(str(error)) from error
    if not content.startswith(PDF_HEADER):
        raise UnusableFile(_("neither a PDF nor a picture; give PDF, PNG or JPEG"))
    _check_pdf(content)
    return CleanFile(content, PDF)


def _check_pdf(content: bytes) -> None:
    if PDF_TRAILER not in content[-TRAILER_WITHIN_BYTES:]:
        raise UnusableFile(_("the PDF has no end; it was cut off on the way, so send it again"))
    try:
        reader = PdfReader(BytesIO(content))
        locked = reader.is_encrypted
        pages = 0 if locked else len(reader.pages)
        active = None if locked else _active_part(reader)
    except UnusableFile:
        raise
    except Exception as error:
        # Readers meet hostile files with errors of every kind.
        raise UnusableFile(_("the PDF is damaged and cannot be read; export it again")) from error
    if locked:
        raise UnusableFile(_("the PDF is locked by a password; give one that opens without"))
    if not pages:
        raise UnusableFile(_("the PDF has no page"))
    if active:
        text = _("the PDF has {part}, which phones must not open; print it to a plain PDF first")
        raise UnusableFile(text.format(part=active))


def _active_part(reader: PdfReader) -> str | None:
    """The first part of it that is more than text and pictures."""
    for part in _dictionaries(reader.trailer):
        kinds = (str(part.raw_get(key)) for key in ("/S", "/Subtype") if key in part)
        found = [ACTIVE_KEYS[key] for key in ACTIVE_KEYS if key in part]
        found += [ACTIVE_KINDS[kind] for kind in kinds if kind in ACTIVE_KINDS]
        if found:
            return str(found[0])
    return None


def _dictionaries(root: Any) -> Iterator[DictionaryObject]:
    """Every dictionary that the root leads to, each once: objects may lead in circles."""
    waiting, seen = [root], set()
    while waiting:
        part = waiting.pop()
        if isinstance(part, IndirectObject):
            if part.idnum in seen:
                continue
            seen.add(part.idnum)
            if len(seen) > MOST_OBJECTS:
                raise UnusableFile(_("the PDF has too many parts; print it to a plain PDF first"))
            part = part.get_object()
        if isinstance(part, DictionaryObject):
            yield part
            waiting.extend(dict.values(part))
        elif isinstance(part, ArrayObject):
            waiting.extend(list.__iter__(part))
