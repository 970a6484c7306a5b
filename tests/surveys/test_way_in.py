"""The way in for a doorset: recorded with a survey, and held against the frame before it is
ordered."""

import pytest
from django.urls import reverse

from surveys.models import Survey
from surveys.services.way_in import survey_of_way_in
from tests import factories
from tests.api import pointers, signed_in
from tests.surveys.survey_pages import address, sound_form

pytestmark = pytest.mark.django_db

WIDE = {"passage_width": 1200, "passage_height": 2400, "corners": []}
TIGHT = {"passage_width": 900, "corners": [{"before": 900, "after": 1000}]}
TYPED = {
    "way_in_passage_width": "900",
    "way_in_passage_height": "2400",
    "way_in_corners": "900 x 1000; 950x950",
    "way_in_steps": "3",
    "way_in_distance": "25",
}


def conditions(way_in):
    return factories.CONDITIONS | {"way_in": way_in}


@pytest.fixture
def sent(office, opening, survey_visit):
    factories.doorset(office, opening)
    tape = factories.instrument(office)
    laser = factories.instrument(office, name="Laser", **factories.LASER)
    return lambda **values: sound_form(survey_visit, tape, laser, **values)


@pytest.fixture
def phone(client, surveyor):
    client.force_login(surveyor)
    return client


@pytest.fixture
def answer_to(phone, opening, sent):
    return lambda **typed: phone.post(address(opening), sent(**typed))


def test_what_was_typed_of_the_way_in_is_stored_with_the_survey(phone, opening, sent):
    phone.post(address(opening), sent(**TYPED))
    assert Survey.objects.get().conditions["way_in"] == {
        "passage_width": 900,
        "passage_height": 2400,
        "corners": [{"before": 900, "after": 1000}, {"before": 950, "after": 950}],
        "steps": 3,
        "distance": 25,
    }


def test_it_comes_filled_in_when_the_opening_is_read_again(phone, opening, sent):
    phone.post(address(opening), sent(**TYPED))
    again = phone.get(address(opening), {"again": Survey.objects.get().pk}).context["form"]
    shown = {name: again[name].value() for name in TYPED}
    assert shown["way_in_corners"] == "900 x 1000; 950 x 950"
    assert (shown["way_in_passage_width"], shown["way_in_steps"]) == (900, 3)


def test_no_corner_is_an_answer_and_nothing_typed_is_none(phone, opening, sent):
    phone.post(address(opening), sent(way_in_corners="0"))
    assert Survey.objects.get().conditions["way_in"] == {"corners": []}
    again = phone.get(address(opening), {"again": Survey.objects.get().pk}).context["form"]
    assert again["way_in_corners"].value() == "0"
    phone.post(address(opening), sent())
    assert "way_in" not in Survey.objects.order_by("created_at").last().conditions


@pytest.mark.parametrize(
    ("field", "typed", "words"),
    [
        ("way_in_corners", "900", "such as 900 x 1000"),
        ("way_in_corners", "900 x 1", "looks like metres"),
        ("way_in_corners", "900 x 90000", "300 to 20000 mm"),
        ("way_in_passage_width", "0.9", "looks like metres"),
        ("way_in_passage_height", "20", "1000 to 20000 mm"),
        ("way_in_steps", "2.5", "whole number"),
        ("way_in_distance", "far", "give m"),
    ],
)
def test_what_cannot_be_is_refused_beside_its_field(answer_to, field, typed, words):
    answer = answer_to(**{field: typed})
    assert answer.status_code == 400
    [complaint] = answer.context["form"].errors[field]
    assert words in complaint
    assert not Survey.objects.exists()


@pytest.mark.parametrize(
    ("way_in", "pointer"),
    [
        ({"passage_width": 0.9}, "passage_width"),
        ({"corners": [{"before": 900}]}, "corners/0/after"),
        ({"corners": [{"before": 900, "after": "wide"}]}, "corners/0/after"),
        ({"corners": [{"before": 900, "after": 900}] * 7}, "corners"),
        ({"steps": 1.5}, "steps"),
        ({"stairs": 2}, "stairs"),
    ],
)
def test_a_program_is_refused_by_the_name_of_the_field(surveyor, survey_body, way_in, pointer):
    body = survey_body | {"conditions": conditions(way_in)}
    answer = signed_in(surveyor).post("/api/v1/surveys/", body)
    assert answer.status_code == 400
    assert pointers(answer) == [f"/conditions/way_in/{pointer}"]


def test_the_choices_of_older_surveys_stay_as_they_are(surveyor, survey_body):
    access = ["through_house", "steps"]
    body = survey_body | {"conditions": factories.CONDITIONS | {"access": access}}
    answer = signed_in(surveyor).post("/api/v1/surveys/", body)
    assert answer.json()["conditions"]["access"] == access


def way_in_findings(office, opening, way_in, **order):
    doorset = factories.doorset(office, opening, **order)
    survey = factories.accepted_survey(office, opening, conditions=conditions(way_in))
    answer = factories.fit_decision(office, survey, doorset).answer
    return [finding for finding in answer.findings if finding.code == "way_in"]


def test_a_frame_that_does_not_pass_the_way_in_is_a_finding_before_it_is_ordered(office, opening):
    [finding] = way_in_findings(office, opening, TIGHT)
    # By hand: a plate of 3590 + 100 by 100 + 100 mm; without thickness 2686 mm pass.
    assert "corner 1, between passages of 900 and 1000 mm, lets" in finding.what
    assert "3690 mm are wanted" in finding.what
    assert "in parts" in finding.caution


def test_a_frame_that_passes_is_no_finding(office, opening):
    assert way_in_findings(office, opening, WIDE) == []


def test_the_pages_of_survey_and_order_say_that_it_does_not_pass(client, office, opening):
    way_in_findings(office, opening, TIGHT)
    client.force_login(office)
    survey = Survey.objects.get()
    names = [opening.job.reference, opening.number]
    for page in (
        reverse("survey-result", args=[*names, survey.pk]),
        reverse("order-doorset", args=names),
    ):
        assert "The frame does not pass the way in" in client.get(page).content.decode()


def test_the_newest_survey_that_measured_the_way_in_counts(office, opening):
    factories.accepted_survey(office, opening, conditions=conditions(TIGHT))
    factories.survey(office, opening, conditions=conditions(WIDE))
    factories.survey(office, opening)
    assert survey_of_way_in(opening).conditions["way_in"] == WIDE


@pytest.mark.parametrize(("depth", "findings"), [(60, 0), (100, 1), (None, 1)])
def test_a_frame_is_carried_in_the_depth_of_its_system(office, opening, depth, findings):
    """Under a ceiling of 2050 mm a frame of 2100 mm is leaned over, and takes the more of the
    floor the deeper it is."""
    # By hand, with 50 mm for hands all round: 60 mm deep and leaned by 23.5 degrees it takes
    # 2100 sin 23.5 + 60 cos 23.5 + 100 = 992 mm, 100 mm deep and leaned by 24.5 degrees 1062 mm.
    low = {"passage_width": 1025, "passage_height": 2050}
    system = factories.profile_system(office, frame_depth=depth)
    assert len(way_in_findings(office, opening, low, profile_system=system)) == findings
