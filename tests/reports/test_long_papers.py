"""The three papers of a long job: archival, whole, well broken into pages, fetching nothing."""

import re
from copy import deepcopy
from typing import Any

import pytest

from tests.reports.long_job import DEFECTS, PHOTOS
from tests.reports.papers import OF_LONG_JOB, Paper

pytestmark = pytest.mark.django_db

HOSTILE = [
    '<img src="http://attacker.example.com/pixel.png">',
    "<style>@import url(file:///etc/passwd);</style>",
    '"><svg onload=alert(1)></svg>',
    "{{ facts.customer.name }}{% include 'x' %}",
]
# Where a person's own words stand in each record, beside customer, site and job.
WRITTEN_BY_PEOPLE: dict[str, list[tuple[str | int, ...]]] = {
    "survey_sheet": [
        ("openings", 0, "opening", "name"),
        ("openings", 0, "surveys", 1, "conditions", "notes"),
        ("openings", 0, "surveys", 1, "photos", 3, "caption"),
        ("openings", 0, "surveys", 1, "surveyor"),
    ],
    "fitting_pack": [
        ("installations", 0, "opening", "name"),
        ("installations", 0, "replanned_because"),
        ("site", "access_notes"),
    ],
    "defect_report": [
        ("defects", 0, "description"),
        ("defects", 0, "put_right_how"),
        ("defects", 3, "photos", 0, "caption"),
        ("concessions", 0, "reason"),
    ],
}


def spoilt(kind: str, facts: dict[str, Any]) -> dict[str, Any]:
    """The same record with hostile words wherever a person's own could stand."""
    words, facts = " ".join(HOSTILE), deepcopy(facts)
    facts["customer"]["name"] = facts["job"]["title"] = words
    facts["site"] = {"address": [words]}
    for *way, last in WRITTEN_BY_PEOPLE[kind]:
        place: Any = facts
        for step in way:
            place = place[step]
        place[last] = words
    return facts


@pytest.fixture(params=OF_LONG_JOB)
def paper(request, long_papers) -> Paper:
    return long_papers[request.param]


def test_every_page_says_of_which_paper_edition_and_rule_set_it_is(paper):
    number = paper.facts["paper"]["number"]
    for page_number, page in enumerate(paper.pages, start=1):
        assert f"page {page_number} of {len(paper.pages)}" in page
        assert f"{number}, edition 1 · rule set folding-2026" in page


def test_it_is_tagged_archival_and_says_its_language(paper):
    catalogue = paper.reader.trailer["/Root"]
    assert catalogue["/MarkInfo"]["/Marked"]
    assert catalogue["/Lang"] == "en-gb"
    metadata = catalogue["/Metadata"].get_data().decode()
    assert 'pdfaid:part="3"' in metadata or "<pdfaid:part>3" in metadata


def test_all_its_fonts_are_embedded(paper):
    for page in paper.reader.pages:
        for font in page["/Resources"]["/Font"].values():
            descriptor = font.get_object()["/DescendantFonts"][0].get_object()["/FontDescriptor"]
            assert {"/FontFile2", "/FontFile3"} & set(descriptor)


def test_its_record_is_attached_and_its_address_printed(paper):
    assert "record.json" in paper.reader.attachments
    assert paper.held(paper.facts["paper"]["verification_address"])


def test_every_picture_says_in_words_what_it_shows(paper):
    described = re.findall(r'<img [^>]*alt="([^"]+)"', paper.html)
    assert len(described) == paper.html.count("<img ")


def test_hostile_words_stand_as_words_and_nothing_is_fetched(paper):
    """A paper that had asked for any address would not have been drawn (`UnsoundPaper`)."""
    facts = spoilt(paper.kind, paper.facts)
    shown = Paper(paper.kind, facts, paper.pictures)
    assert shown.held(" ".join(HOSTILE)) >= 1 + len(WRITTEN_BY_PEOPLE[paper.kind])


def images_of(paper: Paper) -> set[str]:
    """Names of the pictures; pages of one file may share what they draw on."""
    return {
        name
        for page in paper.reader.pages
        for name, drawn in page["/Resources"]["/XObject"].items()
        if drawn["/Subtype"] == "/Image"
    }


def test_the_pictures_of_all_photos_are_in_it(long_papers):
    for kind, count in (("survey_sheet", PHOTOS), ("defect_report", PHOTOS)):
        paper = long_papers[kind]
        assert paper.html.count('class="photo"') == count
        assert len(images_of(paper)) == count


def test_no_defect_is_torn_from_what_was_done_about_it(long_papers):
    report = long_papers["defect_report"]
    for number in range(1, DEFECTS + 1):
        [page] = [page for page in report.pages if f"found as number {number} " in f"{page} "]
        told = page.partition(f"found as number {number} ")[2]
        assert re.match(
            r"(\(.*?\) )?Recorded .*? Responsible .*? Put right .*? Inspected again", told
        )


def test_no_step_is_torn_from_its_evidence_or_its_caution(long_papers):
    pack = long_papers["fitting_pack"]
    for step in pack.facts["installations"][0]["steps"]:
        pages = [page for page in pack.pages if f"{step['number']} {step['title']}" in page] or [
            page for page in pack.pages if f"{step['number']} ■ Hold point {step['title']}" in page
        ]
        assert len(pages) == 1, step["title"]
        assert step["caution"] in pages[0]
        for check in step["checks"]:
            assert check in pages[0]


def test_no_row_of_the_packing_schedule_is_torn(long_papers):
    pack = long_papers["fitting_pack"]
    members = pack.facts["installations"][0]["plan"]["fixing_layout"]["members"]
    planned = sum(len(member["fixings"]) for member in members)
    told = r"\d+ \d+ mm (?:through|in|countersunk) [a-z ]+(?:;[a-z\d,;' ]+?)?"
    row = told + r" [\d.]+ mm [\d.+ none]+ [\d.]+ mm [\d.]+ mm"
    assert sum(len(re.findall(row, page)) for page in pack.pages) == planned


def test_no_heading_is_the_last_thing_on_a_page(paper):
    headings = [re.sub(r"<[^>]+>", "", h) for h in re.findall(r"<h[23]>(.*?)</h[23]>", paper.html)]
    for page in paper.pages:
        body = page.partition(paper.facts["paper"]["number"] + ", edition")[0].strip()
        assert not [heading for heading in headings if heading and body.endswith(heading)]
