"""What a survey sheet says of the surveys of a job."""

import pytest

from tests.reports.papers import Paper

pytestmark = pytest.mark.django_db


@pytest.fixture
def sheet(long_papers) -> Paper:
    return long_papers["survey_sheet"]


def test_every_reading_of_every_survey_stands_with_its_instrument_and_uncertainty(sheet):
    surveys = [survey for opening in sheet.facts["openings"] for survey in opening["surveys"]]
    assert len(surveys) == 4
    readings = [reading for survey in surveys for reading in survey["readings"]]
    given = 3 + 3 + 3 + 2 + 2 + 2 + 1 + 4 + 8
    assert len(readings) == given * len(surveys)
    # Tape of class II at 6012 mm, rounded up to 7 m (Directive 2014/32/EU, Annex X, published):
    # 0.3 + 0.2 x 7 = 1.7 mm either way; with the reading to 1 mm, both rectangular (JCGM 100).
    uncertainty = (1.7**2 / 3 + 0.5**2 / 3) ** 0.5
    assert f"width 100 mm 6012 mm T-0815 {uncertainty:.2f} mm" in sheet.text
    # A laser of ± 1 mm (k = 2), read to 1 mm.
    uncertainty = (0.5**2 + 0.5**2 / 3) ** 0.5
    assert f"plumb, left jamb 2100 mm 4 mm L-0042 {uncertainty:.2f} mm" in sheet.text


def test_a_set_that_contradicts_itself_names_what_to_read_again(sheet):
    assert "✗ contradict" in sheet.text
    assert "✗ The readings contradict each other: read again" in sheet.text
    # What the diagonal of a rectangle of 6012 x 2116 is (closed form): 6373.5 mm.
    likely = sheet.text.partition("rising diagonal 6736 mm ")[2].partition(" mm")[0]
    assert float(likely) == pytest.approx((6012**2 + 2116**2) ** 0.5, abs=5)


def test_it_says_how_each_survey_stands(sheet):
    assert "Not accepted: nothing may be ordered by it." in sheet.text
    assert "a doorset may be ordered by it." in sheet.text
    assert "Counts as it was taken." in sheet.text


def test_the_verdict_stands_with_its_probability(sheet):
    fit = next(s["fit"] for s in sheet.facts["openings"][0]["surveys"] if s["fit"])
    assert f"{fit['probability_fits'] * 100:.1f} %" in sheet.text
    assert "frame 5990 \N{MULTIPLICATION SIGN} 2100 mm" in sheet.text


def test_an_opening_of_which_nothing_was_decided_is_drawn_by_what_is_clear_in_it(sheet):
    assert "upright and clear in it is" in sheet.html
    assert "Opening seen from outside with a frame of 5990 by 2100 mm in it" in sheet.html
    assert "3 · Not visited yet not measured" in sheet.text


def test_the_shape_says_which_way_it_leans_and_falls(sheet):
    """Both jambs lean right: 4 and 3 mm were read at 2100 mm; the sill falls by 1 mm."""
    decided = sheet.text.partition("a doorset may be ordered by it.")[2]
    assert "Left jamb, foot to head leans right 3." in decided
    assert "Right jamb, foot to head leans right 2." in decided
    assert "Sill, left to right falls 1" in decided


def test_what_was_found_stands_with_its_caution_and_source(sheet):
    assert "The ground outside lies 750 mm lower" in sheet.text
    assert "Nobody opens the doorset onto an unguarded drop" in sheet.text
    assert "Approved Document K" in sheet.text


@pytest.mark.parametrize(
    "condition",
    [
        "Asbestos suspected no",
        "Damp-proof course damaged",
        "Lintel seen yes",
        "Span of the lintel 6300 mm",
        "Services in the reveal electricity",
        "Fixed into left brick, right brick, head steel, sill concrete",
        "Notes The gate sticks.",
    ],
)
def test_the_conditions_stand_in_words(sheet, condition):
    assert sheet.held(condition)


def test_it_leaves_structure_to_who_decides_it(sheet):
    assert "lintels and loads are for a structural engineer" in sheet.text
