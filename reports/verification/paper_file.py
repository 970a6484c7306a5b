"""A paper as a PDF file: its signatures and what is attached to it."""

from collections.abc import Iterator
from dataclasses import dataclass
from io import BytesIO
from typing import Any

from pyhanko.pdf_utils.reader import PdfFileReader
from pyhanko.sign.validation.pdf_embedded import EmbeddedPdfSignature

from jobs.sentences import sentence


class UnreadablePaper(ValueError):
    """A file that is no PDF, or one that breaks off; says how."""


@dataclass(frozen=True, slots=True)
class PaperFile:
    """`signature` is the firm's, the first; `timestamps` those of the whole file that were added
    since, the oldest first."""

    content: bytes
    reader: PdfFileReader
    signature: EmbeddedPdfSignature
    timestamps: tuple[EmbeddedPdfSignature, ...]
    attachments: dict[str, bytes]

    @classmethod
    def read(cls, content: bytes) -> "PaperFile":
        """Raises `UnreadablePaper`."""
        try:
            reader = PdfFileReader(BytesIO(content))
            signatures = list(reader.embedded_signatures)
            # What is attached is read from what was signed, not from what came after.
            kinds = [signature.sig_object_type for signature in signatures]
            if not kinds or kinds != ["/Sig", *["/DocTimeStamp"] * (len(kinds) - 1)]:
                raise UnreadablePaper(sentence("it is not signed once, by the firm that issued it"))
            return cls(
                content, reader, signatures[0], tuple(signatures[1:]), dict(_attachments(reader))
            )
        except UnreadablePaper:
            raise
        except Exception as fault:  # whatever a damaged file makes of its reader
            raise UnreadablePaper(f"{type(fault).__name__}: {fault}") from fault


def _attachments(reader: PdfFileReader) -> Iterator[tuple[str, bytes]]:
    """Name and content of each. Raises `UnreadablePaper` for two of one name."""
    known = set()
    for name, file in _leaves(reader.root["/Names"]["/EmbeddedFiles"]):
        if name in known:
            raise UnreadablePaper(sentence("two files of the name {name} are attached", name=name))
        known.add(name)
        yield name, file["/EF"]["/F"].data


def _leaves(tree: Any) -> Iterator[tuple[str, Any]]:
    names = list(tree.get("/Names", ()))
    for name, file in zip(names[::2], names[1::2], strict=True):
        yield str(file.get_object().get("/UF", name)), file.get_object()
    for branch in tree.get("/Kids", ()):
        yield from _leaves(branch.get_object())
