"""What an answer asks for next leads to its field; walls, places and method stand in plain words.

The answers are invented: what the arithmetic asks for is tested beside it.
"""

from dataclasses import replace
from types import SimpleNamespace

import pytest
from django.template.loader import render_to_string
from django.utils.http import urlencode

from surveys.arithmetic.answers import CriticalPlace, ReadNext, WallKinds
from surveys.drawings import FittedOpening, opening_svg
from surveys.models import FitDecision, Survey
from surveys.next_readings import act_label
from surveys.wall_words import wall_labels
from tests import factories
from tests.frozen_records import examples
from tests.surveys.survey_pages import address

pytestmark = pytest.mark.django_db


def asked(kind, side=None, at=None, settles=0.6) -> ReadNext:
    return ReadNext(kind, side, at, "Nobody looked there yet.", settles)


ASKED = {
    "Lay the straightedge along the left jamb": (
        asked("straightedge", "left"),
        "straightedge_left_0",
    ),
    "Hold the square at the reveal, once round": (asked("splay", "all"), "splay_left_0"),
    "Read the width 1430 mm above the sill": (asked("width", at=1430.0), "widths_3"),
    "Read the height 900 mm from the left jamb": (asked("height", at=900.0), "heights_3"),
    "Hold a plumb line to the right jamb": (asked("plumb", "right"), "plumb_right_2"),
    "Read the level of the head": (asked("level", "head"), "head_levels_0"),
    "Look which end of the sill is higher": (asked("higher_end", "sill"), "higher_end_sill"),
    "Read one width with a second instrument": (asked("check"), "checks_widths_0"),
    "Read both diagonals again": (asked("diagonals"), "diagonals_rising"),
}


@pytest.fixture
def phone(client, surveyor):
    client.force_login(surveyor)
    return client


@pytest.fixture
def survey(surveyor, opening, survey_visit):
    return factories.survey(surveyor, opening, visit=survey_visit)


def page_that_asks(client, survey, *read_next) -> str:
    assessment = replace(survey.assessment, method="walls", read_next=read_next)
    Survey.objects.filter(pk=survey.pk).update(assessment=assessment)
    return client.get(address(survey.opening, f"surveys/{survey.pk}/")).content.decode()


@pytest.mark.parametrize("words", ASKED)
def test_what_is_asked_for_is_an_act_that_leads_to_its_field(phone, survey, words):
    reading, field = ASKED[words]
    page = page_that_asks(phone, survey, reading)
    assert words in page
    assert "settles it: 60 %" in page
    link = page.partition('class="acts"')[2].partition('href="')[2].partition('"')[0]
    where, _hash, anchor = link.replace("&amp;", "&").partition("#")
    assert anchor == f"id_{field}"
    assert f'id="{anchor}"' in phone.get(where).content.decode()


def test_every_kind_that_can_be_asked_for_has_words_of_its_own():
    labels = [act_label(reading) for reading, _field in ASKED.values()]
    assert len(set(labels)) == len(labels)


def test_the_form_of_an_asked_width_has_its_place_filled_in(phone, survey):
    query = urlencode({"again": survey.pk, "read": "widths", "at": 1430})
    form = phone.get(f"{address(survey.opening)}?{query}").context["form"]
    assert (form["widths_3"].value(), form["widths_3_at"].value()) == (None, 1430)


def test_walls_are_told_in_words_and_doubt_with_its_share():
    walls = {
        "left": WallKinds(straight=0.9, coursed=0.05, bulged=0.05, bowed=0),
        "sill": WallKinds(straight=0.55, coursed=0.1, bulged=0.35, bowed=0),
        "head": WallKinds(straight=0.1, coursed=0.7, bulged=0.1, bowed=0.1),
    }
    assert dict(wall_labels(walls)) == {
        "Left jamb": "straight",
        "Head": "most likely uneven from course to course (70 %)",
        "Sill": "most likely straight (55 %), perhaps bulged or waved (35 %)",
    }


def test_where_the_wall_touches_first_is_marked_on_the_drawing(office, opening, survey):
    decision = factories.fit_decision(office, survey, factories.doorset(office, opening))
    places = (CriticalPlace("left", 1430.0, 0.4), CriticalPlace("head", 900.0, 0.04))
    svg = opening_svg(FittedOpening.read(decision.inputs, decision.answer, places))
    assert svg.count('data-part="critical"') == 1
    assert "touches first: 40 %" in svg
    # Its tip is on the left edge of the frame, 1430 mm above its foot.
    assert f"M0.0 {decision.frame_height - 1430:.1f}" in svg


def test_a_joint_too_wide_to_seal_stands_with_its_choices_and_without_one_nothing_does():
    choice = SimpleNamespace(what="Make the opening good: up to 4 mm on this side.")
    joint = SimpleNamespace(member="left", min=8.0, max=14.0, allowed=10.0, choices=[choice])
    page = render_to_string("surveys/wide_joints.html", {"wide_joints": [joint]})
    assert "Left: 8 to 14 mm, at most 10 mm may be sealed" in page
    assert "Make the opening good: up to 4 mm on this side." in page
    assert not render_to_string("surveys/wide_joints.html", {"wide_joints": []}).strip()


@examples.of_kind("survey_assessment")
def test_the_page_says_by_which_method_a_survey_was_assessed(phone, survey, stored):
    Survey.objects.filter(pk=survey.pk).update(assessment=stored)
    page = phone.get(address(survey.opening, f"surveys/{survey.pk}/")).content.decode()
    earlier = stored.get("method", "eight_points") == "eight_points"
    if not stored["contradictory"]:
        assert ("Worked out by the earlier method: eight points" in page) == earlier
        assert ("Worked out for walls as they are built" in page) != earlier


def test_a_decision_of_an_earlier_format_keeps_its_answer_and_the_api_names_the_method(
    office, opening, survey, client
):
    decision = factories.fit_decision(office, survey, factories.doorset(office, opening))
    stored = examples.stored("decided_fit", "1")
    FitDecision.objects.filter(pk=decision.pk).update(answer=stored)
    decision.refresh_from_db()
    assert decision.answer.probability_fits == stored["probability_fits"]
    assert decision.answer.method == "eight_points"
    assert decision.answer.read_next == ()
