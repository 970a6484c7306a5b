"""Papers of jobs from the database, drawn once for all tests, and read again."""

import io
import json
import re
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from functools import cached_property
from html import unescape
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import rfc8785
from django.db import transaction
from django.test import override_settings
from pypdf import PdfReader
from pypdfium2 import PdfDocument

from jobs.models import Job
from reports.kinds import KINDS
from reports.models import Document
from reports.papers.frozen import PAPERS
from reports.papers.paper import DRAFTS, paper_html, paper_pdf
from reports.papers.parts import Part
from reports.papers.photos import stored_photos

OF_LONG_JOB = ("survey_sheet", "fitting_pack", "defect_report")


@dataclass
class Paper:
    """A paper as it is drawn from a record and pictures."""

    kind: str
    facts: dict[str, Any]
    pictures: Mapping[str, Part]

    @cached_property
    def pdf(self) -> bytes:
        document: Any = SimpleNamespace(
            kind=self.kind,
            paper_record=PAPERS[self.kind].read(self.facts),
            record=json.dumps(self.facts),
            pk="paper",
        )
        return paper_pdf(document, read_photos=lambda _: self.pictures)

    @cached_property
    def reader(self) -> PdfReader:
        """For its structure; its text is read by PDFium, in a hundredth of the time."""
        return PdfReader(io.BytesIO(self.pdf))

    @cached_property
    def html(self) -> str:
        return paper_html(self.kind, PAPERS[self.kind].read(self.facts))

    @cached_property
    def words(self) -> str:
        """What the page says whose drawing takes a second; where on the paper is left open."""
        return unescape(re.sub(r"(?:<[^>]*>|\s)+", " ", self.html))

    @cached_property
    def pages(self) -> list[str]:
        """The text of every page with every run of white space as one space."""
        return texts_of_pages(self.pdf)

    @cached_property
    def text(self) -> str:
        return " ".join(self.pages)

    def held(self, words: str) -> int:
        """How often it holds the words, whatever lines do to the white space between them."""
        return re.sub(r"\s", "", self.text).count(re.sub(r"\s", "", words))


def texts_of_pages(pdf: bytes) -> list[str]:
    """The text of every page with every run of white space as one space."""
    with PdfDocument(pdf) as document:
        return [re.sub(r"\s+", " ", page.get_textpage().get_text_range()) for page in document]


def paper_of(job: Job, kind: str) -> Paper:
    """As `issue_document` would have it drawn now."""
    of_kind = KINDS[kind]
    number = f"{job.reference}-{of_kind.suffix}"
    document = Document(job=job, kind=kind, number=number, edition=1)
    facts = json.loads(rfc8785.dumps(PAPERS[kind].plain(of_kind.record(document))))
    return Paper(kind, facts, stored_photos(DRAFTS[kind](PAPERS[kind].read(facts)).photos))


@contextmanager
def passing_records(blocker: Any, folder: Path) -> Iterator[None]:
    """Records and files that are gone afterwards, for fixtures that outlive one test."""
    with blocker.unblock(), override_settings(MEDIA_ROOT=folder), transaction.atomic():
        yield
        transaction.set_rollback(True)
