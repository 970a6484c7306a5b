"""A certificate from its record to its signature, against WeasyPrint alone on the same HTML."""

import rfc8785
from weasyprint import HTML

from benchmarks.case import Case
from reports.models import Document
from reports.papers.paper import paper_parts, paper_pdf
from reports.papers.parts import SCHEME, Part
from reports.papers.rendering import PartsFetcher, paper_style
from reports.signing import sign_paper
from tests.reports.records import certificate_facts

REPEATS = 5


def cases() -> list[Case]:
    document = Document(
        kind=Document.Kind.COMPLETION_CERTIFICATE,
        record=rfc8785.dumps(certificate_facts()).decode(),
    )
    html, parts = paper_parts(document)

    def whole() -> bytes:
        return sign_paper(paper_pdf(document), reason="benchmark")

    def alone() -> bytes:
        return weasyprint_alone(html, parts)

    return [
        Case(
            "certificate, drawn and signed",
            whole,
            alone,
            "WeasyPrint alone on the same HTML",
            repeats=REPEATS,
        )
    ]


def weasyprint_alone(html: str, parts: dict[str, Part]) -> bytes:
    """The same pages, tagged and archival too, without a record attached and without signature."""
    style, fonts = paper_style()
    page = HTML(string=html, url_fetcher=PartsFetcher(parts), base_url=SCHEME)
    return bytes(
        page.write_pdf(
            stylesheets=[style], font_config=fonts, pdf_variant="pdf/a-3a", pdf_tags=True
        )
    )
