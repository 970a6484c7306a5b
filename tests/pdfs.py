"""PDFs as a maker of profiles might send them, and such as no phone should open."""

from io import BytesIO
from typing import Any

from pypdf import PdfWriter
from pypdf.annotations import Link
from pypdf.generic import ArrayObject, DictionaryObject, NameObject, TextStringObject


def written(writer: PdfWriter) -> bytes:
    file = BytesIO()
    writer.write(file)
    return file.getvalue()


def pages(count: int = 1) -> PdfWriter:
    writer = PdfWriter()
    for _ in range(count):
        writer.add_blank_page(200, 200)
    return writer


def plain_pdf() -> bytes:
    """With a link to an address, which nobody needs to fear."""
    writer = pages()
    writer.add_annotation(0, Link(rect=(0, 0, 50, 50), url="https://example.com/track"))
    return written(writer)


def with_a_script() -> bytes:
    """Under a name that is spelt in another way: #53 is S (ISO 32000-2, 7.3.5, from memory)."""
    return with_an_action("/JavaScript").replace(b"/S /JavaScript", b"/#53 /Java#53cript")


def with_a_file_inside() -> bytes:
    writer = pages()
    writer.add_attachment("price.xlsx", b"prices")
    return written(writer)


def with_an_action(kind: str) -> bytes:
    """Once it is opened, hidden behind two references."""
    writer = pages()
    action = {"/S": NameObject(kind), "/F": TextStringObject("setup.exe")}
    held = writer._add_object(_dictionary(action))
    writer.root_object[NameObject("/OpenAction")] = writer._add_object(
        _dictionary({"/S": NameObject("/GoTo"), "/Next": ArrayObject([held])})
    )
    return written(writer)


def locked() -> bytes:
    writer = pages()
    writer.encrypt("secret")
    return written(writer)


def _dictionary(values: dict[str, Any]) -> DictionaryObject:
    return DictionaryObject({NameObject(name): value for name, value in values.items()})
