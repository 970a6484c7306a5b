"""From HTML and in-memory parts to an archival, tagged PDF. Nothing is ever fetched.

The only addresses a paper may use are those of its own parts, `sw:<name>`; every other one is
refused and spoils the paper, because our templates never write one.
"""

from collections.abc import Mapping
from functools import cache
from pathlib import Path
from typing import Any

from weasyprint import CSS, HTML, Attachment
from weasyprint.text.fonts import FontConfiguration
from weasyprint.urls import URLFetcher, URLFetcherResponse

from reports.papers.parts import SCHEME, Part
from reports.papers.typeface import font_files

STYLE = Path(__file__).with_name("papers.css")


class UnsoundPaper(RuntimeError):
    """A paper that asks for something that is not one of its parts; names the addresses."""


class PartsFetcher(URLFetcher):
    """Serves the parts of one paper and remembers every other address it was asked for."""

    def __init__(self, parts: Mapping[str, Part]) -> None:
        # The parent's openers for the network and for files stay unused: `fetch` never calls them.
        super().__init__(allowed_protocols=(), allow_redirects=False)
        self.parts = parts
        self.refused: list[str] = []

    def fetch(self, url: str, headers: Any = None) -> URLFetcherResponse:
        part = self.parts.get(url.removeprefix(SCHEME)) if url.startswith(SCHEME) else None
        if part is None:
            self.refused.append(url)
            raise ValueError(url)
        return URLFetcherResponse(url, part.content, {"Content-Type": part.media_type})

    def open(self, url: Any, data: Any = None, timeout: Any = None) -> URLFetcherResponse:
        return self.fetch(getattr(url, "full_url", url))


@cache
def paper_style() -> tuple[CSS, FontConfiguration]:
    """The style of every paper with its fonts, which come with a dependency, so that all machines
    draw alike.

    Once per process: fonts that are taken in anew for every paper are never quite given back, and
    a worker grew by a quarter of a megabyte with each.
    """
    fonts = FontConfiguration()
    files = {name: Part("font/ttf", content) for name, content in font_files().items()}
    style = CSS(filename=str(STYLE), url_fetcher=PartsFetcher(files), font_config=fonts)
    return style, fonts


def render_pdf(
    html: str, parts: Mapping[str, Part], attachments: Mapping[str, str], identifier: str
) -> bytes:
    """Render an A4 paper as PDF/A-3 with `attachments` (file name to text) inside.

    `identifier` is the PDF's own, so that two drawings of one document can be told to be one.
    Raises `UnsoundPaper` when the HTML asks for anything that is not one of `parts`.
    """
    fetcher = PartsFetcher(parts)
    style, fonts = paper_style()
    pdf = HTML(string=html, url_fetcher=fetcher, base_url=SCHEME).write_pdf(
        stylesheets=[style],
        font_config=fonts,
        attachments=[
            Attachment(string=text, name=name, url_fetcher=fetcher, relationship="Data")
            for name, text in attachments.items()
        ],
        pdf_variant="pdf/a-3a",
        pdf_tags=True,
        pdf_identifier=identifier.encode(),
    )
    if fetcher.refused:
        raise UnsoundPaper(", ".join(fetcher.refused))
    return bytes(pdf)
