"""The certificate as PDF: what it says, what it holds, and what it never does."""

import json
import re

import pytest

from reports.papers.rendering import UnsoundPaper, render_pdf
from tests.reports.papers import Paper
from tests.reports.records import certificate_facts, doorset


def drawn(facts) -> Paper:
    return Paper("completion_certificate", facts, {})


def one_doorset(**changes):
    return certificate_facts(doorset(1, "Side return", "3-2-1", 2378, 2096), **changes)


@pytest.fixture(scope="module")
def facts():
    return one_doorset()


@pytest.fixture(scope="module")
def paper(facts) -> Paper:
    return drawn(facts)


@pytest.fixture
def text(paper) -> str:
    return paper.text


def test_it_holds_the_job_the_customer_and_the_site(text):
    for words in ("SW-26-0007", "Oona Quill", "7 Heron Rise, Sampleton, ZZ2 7QQ"):
        assert words in text


@pytest.mark.parametrize(
    "row",
    [
        "fall 0.4 mm within ± 3 mm 0.58 mm over 99.9 % ✓ pass",
        "left in plane 1.2 mm within ± 3 mm 0.58 mm over 99.9 % ✓ pass",
        "right \N{MINUS SIGN}0.8 mm within ± 3 mm 0.58 mm over 99.9 % ✓ pass",
        "from rising 4187.1, falling 4186 1.1 mm at most 2 mm 0.58 mm over 99.9 % ✓ pass",
        "left middle 0.7 mm at most 1.5 mm 0.58 mm over 99.9 % ✓ pass",
        "right middle 0.2 mm 0 to 1 mm 0.58 mm over 99.9 % ✓ pass",
        "height range 0.9 mm at most 1.5 mm 0.58 mm over 99.9 % ✓ pass",
    ],
)
def test_every_reading_of_the_fitting_stands_with_limit_uncertainty_and_verdict(text, row):
    assert row in text


@pytest.mark.parametrize(
    "reading",
    [
        "width 1050 mm 3609 mm",
        "height 3500 mm 2119 mm",
        "sill level 3600 mm \N{MINUS SIGN}3 mm",
        "plumb, left jamb 2100 mm 4 mm",
        "rising diagonal 4189 mm",
        "falling diagonal 4186 mm",
    ],
)
def test_every_reading_of_both_surveys_stands_with_residual_limit_and_verdict(text, reading):
    assert (
        text.count(
            f"{reading} 0.64 mm \N{MINUS SIGN}0.37 mm \N{MINUS SIGN}0.81 at most 3.29 ✓ pass"
        )
        == 2
    )


def test_every_gap_stands_with_its_difference_limit_and_verdict(text):
    for junction in range(4):
        row = f"{junction} 4.4 mm 4.9 mm 0.5 mm at most 1 mm"
        together = "both: twice 4.5 mm, 2 mm either way"
        assert f"{row} {together} 0.21 mm 99.1 % ✓ pass" in text


def test_fixings_glass_marking_and_transmittance_stand_in_it(text):
    assert "150 (5 + 3) · 750 (5 + 3)" in text
    assert "EN 12150-1 toughened, pane 3" in text
    assert "1.4 W/(m²K), EN ISO 10077-1; limit 1.4" in text


def test_what_was_conceded_and_put_right_stands_in_it(text):
    assert "The brickwork does not allow better" in text
    assert "bead replaced" in text
    assert "✓ closed" in text


def test_instruments_stand_with_their_calibration(text):
    assert "T-0815" in text
    assert "31 January 2027" in text
    assert "± 1.00 mm (k = 2)" in text


def test_what_the_surveys_found_stands_with_its_caution(text):
    assert "The ground outside lies 750 mm below. Somebody could fall" in text


def test_it_says_what_it_is_not_and_who_prevails(text):
    assert "not a building-control or competent-person certificate" in text
    assert "local codes, the law or a licensed practitioner say otherwise, they prevail" in text


def test_it_names_the_journal_the_seal_and_the_rule_set(text):
    for digest in ("b7" * 32, "c9" * 32, "a3" * 32):
        assert digest in text
    assert "folding-2026" in text


def test_every_drawing_says_in_words_what_it_shows(facts):
    html = drawn(facts).html
    described = re.findall(r'<img [^>]*alt="([^"]+)"', html)
    assert len(described) == html.count("<img ")
    assert any(words.startswith("Doorset 3-2-1 seen from outside") for words in described)
    assert any(words.startswith("Opening seen from outside") for words in described)


def test_every_page_says_which_of_how_many_it_is(paper):
    pages = len(paper.pages)
    for number, page in enumerate(paper.pages, start=1):
        assert f"page {number} of {pages}" in page
        assert "SW-26-0007-C, edition 1 · rule set folding-2026" in page


def test_the_address_for_verification_is_printed(text, facts):
    assert facts["paper"]["verification_address"] in text


def test_the_record_is_attached_as_it_was_frozen(paper, facts):
    assert json.loads(paper.reader.attachments["record.json"][0]) == facts


def test_it_is_tagged_archival_and_says_its_language(paper):
    catalogue = paper.reader.trailer["/Root"]
    assert catalogue["/MarkInfo"]["/Marked"]
    assert catalogue["/Lang"] == "en-gb"
    metadata = catalogue["/Metadata"].get_data().decode()
    assert 'pdfaid:part="3"' in metadata or "<pdfaid:part>3" in metadata


def test_all_its_fonts_are_embedded(paper):
    for page in paper.reader.pages:
        for font in page["/Resources"]["/Font"].values():
            descendant = font.get_object()["/DescendantFonts"][0].get_object()
            assert "/FontFile3" in descendant["/FontDescriptor"] or (
                "/FontFile2" in descendant["/FontDescriptor"]
            )


HOSTILE = [
    '<img src="http://attacker.example.com/pixel.png">',
    '<link rel="stylesheet" href="file:///etc/passwd">',
    "<style>@import url(http://attacker.example.com/x.css);</style>",
    '"><svg onload=alert(1)><image href="http://attacker.example.com/"/></svg>',
    "{{ facts.customer.name }}{% include 'x' %}",
]


def test_hostile_words_stand_as_words_and_nothing_is_fetched():
    """A paper that had asked for any address would not have been drawn (`UnsoundPaper`)."""
    hostile = " ".join(HOSTILE)
    facts = one_doorset(
        customer={"name": hostile},
        site={"address": [hostile]},
        concessions=[{**certificate_facts()["concessions"][0], "reason": hostile}],
    )
    facts["doorsets"][0]["opening"]["name"] = hostile
    facts["doorsets"][0]["inspections"][0]["note"] = hostile
    facts["doorsets"][0]["sashes"][0]["glass_marking"] = hostile
    text = re.sub(r"\s", "", drawn(facts).text)
    for words in HOSTILE:
        assert text.count(re.sub(r"\s", "", words)) >= 5


@pytest.mark.parametrize(
    "address",
    ["http://attacker.example.com/a.png", "file:///etc/passwd", "sw:not-a-part", "data:,x"],
)
def test_a_paper_that_asks_for_what_is_not_its_part_is_not_made(address):
    with pytest.raises(UnsoundPaper):
        render_pdf(f'<img alt="" src="{address}">', {}, {}, "paper")
