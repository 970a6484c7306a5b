"""Stored records of papers, read through to the paper that is drawn from them."""

import json

import pytest

from jobs.frozen import UnreadableRecord
from reports.models import Document
from reports.papers.frozen import PAPERS
from reports.papers.job_record import substance
from reports.papers.paper import paper_parts
from tests.frozen_records import examples

NO_PHOTOS: dict = {}


def document_of(kind: str, stored) -> Document:
    return Document(kind=kind, number="SW-26-0001-X", edition=1, record=json.dumps(stored))


def every_example() -> list:
    return [
        pytest.param(kind, json.loads(file.read_text()), id=f"{kind}-{file.stem}")
        for kind in PAPERS
        for file in sorted((examples.FOLDER / kind).glob("*.json"))
    ]


@pytest.mark.parametrize(("kind", "stored"), every_example())
def test_the_paper_is_drawn_with_all_its_parts(kind, stored):
    html, parts = paper_parts(document_of(kind, stored), read_photos=lambda _: NO_PHOTOS)
    assert stored["paper"]["number"] in html
    assert stored["job"]["title"] in html
    drawings = [name for name in parts if name != "verification"]
    assert all(f'"sw:{name}"' in html for name in drawings)
    assert drawings or kind == "defect_report"


@pytest.mark.parametrize(("kind", "stored"), every_example())
def test_its_number_says_nothing_of_the_job(kind, stored):
    """Or every paper would be new after an update, though nothing on record has changed."""
    with_number = document_of(kind, {"format": 1, **stored}).paper_record
    newest = PAPERS[kind].write(with_number)
    assert newest["format"] == PAPERS[kind].format
    assert substance(with_number) == substance(document_of(kind, newest).paper_record)


@pytest.mark.parametrize("kind", PAPERS)
def test_what_is_frozen_carries_its_number_and_what_is_newer_is_refused(kind):
    stored = examples.stored(kind, str(PAPERS[kind].format))
    document = Document(kind=kind)
    document.freeze(document_of(kind, stored).paper_record)
    assert json.loads(document.record) == stored
    assert document.facts == {name: stored[name] for name in stored if name != "format"}
    with pytest.raises(UnreadableRecord, match=f"record of a {kind.replace('_', ' ')}: format 99"):
        _ = document_of(kind, {"format": 99}).paper_record


def test_every_kind_of_document_has_a_reader():
    assert set(PAPERS) == set(Document.Kind.values)
