"""Any paper of a job, drawn from the frozen record of its document alone."""

import io
from collections.abc import Callable, Mapping, Sequence
from typing import Any

import segno
from django.template.loader import render_to_string
from django.utils.translation import gettext as _

from reports.models import Document
from reports.papers.certificate import certificate
from reports.papers.defect_report import defect_report
from reports.papers.draft import Draft
from reports.papers.fitting_pack import fitting_pack
from reports.papers.frozen.job import PaperRecord, PhotoFacts
from reports.papers.parts import SCHEME, SVG, Part
from reports.papers.photos import stored_photos
from reports.papers.rendering import render_pdf
from reports.papers.survey_sheet import survey_sheet
from reports.verification.names import PROOF, RECORD

DRAFTS: dict[str, Callable[[Any], Draft]] = {
    Document.Kind.SURVEY_SHEET: survey_sheet,
    Document.Kind.FITTING_PACK: fitting_pack,
    Document.Kind.DEFECT_REPORT: defect_report,
    Document.Kind.COMPLETION_CERTIFICATE: certificate,
}
ReadPhotos = Callable[[Sequence[PhotoFacts]], Mapping[str, Part]]


def paper_pdf(
    document: Document, read_photos: ReadPhotos = stored_photos, *, proof: str = ""
) -> bytes:
    """The paper as PDF/A-3 with its record attached, and the proof of it where there is one.

    Reads nothing but the document, and the photos that its record names.
    """
    html, parts = paper_parts(document, read_photos)
    attached = {RECORD: document.record} | ({PROOF: proof} if proof else {})
    return render_pdf(html, parts, attached, identifier=str(document.pk))


def paper_parts(
    document: Document, read_photos: ReadPhotos = stored_photos
) -> tuple[str, dict[str, Part]]:
    """The paper as one HTML page, and what it shows under `sw:` addresses, by their names."""
    facts = document.paper_record
    draft = DRAFTS[document.kind](facts)
    verification = Part(SVG, _qr(facts.paper.verification_address))
    parts = {**draft.parts, **read_photos(draft.photos), "verification": verification}
    return _html(document.kind, facts, draft), parts


def paper_html(kind: str, facts: PaperRecord) -> str:
    """The paper as one HTML page; its pictures have `sw:` addresses."""
    return _html(kind, facts, DRAFTS[kind](facts))


def _html(kind: str, facts: PaperRecord, draft: Draft) -> str:
    title = Document.Kind(kind).label
    context = {"facts": facts, "scheme": SCHEME, "title": title, "page_label": _page_label()}
    return render_to_string(draft.template, context | dict(draft.context))


def _page_label() -> tuple[str, str, str]:
    """What comes before the number of a page, between it and the number of pages, and after."""
    before, rest = _("page {page} of {pages}").split("{page}")
    between, after = rest.split("{pages}")
    return before, between, after


def _qr(address: str) -> bytes:
    """QR code (ISO/IEC 18004) of medium error correction: paper gets wet."""
    svg = io.BytesIO()
    segno.make(address, error="m", micro=False).save(svg, kind="svg", border=0, xmldecl=False)
    return svg.getvalue()
