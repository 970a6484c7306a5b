"""Whether leaves have room where they fold, and pass what a survey found standing there."""

from xml.etree import ElementTree

import pytest

from jobs.arithmetic.fold import parse_fold
from jobs.arithmetic.stack import FoldingChains
from surveys.arithmetic.sweep_findings import (
    LeafSpace,
    Obstruction,
    StackLimit,
    sweep_findings,
)
from surveys.models import Survey
from surveys.plan_drawing import DrawnPlan, plan_svg
from surveys.services.leaf_space import leaf_space, plan_of
from tests import factories
from tests.api import pointers, signed_in
from tests.surveys.survey_pages import address, sound_form

SVG = "{http://www.w3.org/2000/svg}"
LIMIT = StackLimit(50, "the firm's own limit")
# Five leaves of 694 mm, 70 thick, with gaps of 4 mm: they stand 698 mm out of their own plane.
CHAINS = FoldingChains(3614, 60, 4, 70, parse_fold("5-5-0"), (694,) * 5)


def codes(face="outside", behind=0.0, **conditions):
    space = LeafSpace(CHAINS, face, behind)
    return [finding.code for finding in sweep_findings(conditions, space, LIMIT)]


def downpipe(**place):
    return {"obstruction": "downpipe", "along": 1000, "distance": 900, "width": 110} | place


def test_leaves_that_stand_out_further_than_there_is_room_are_a_finding():
    # By hand: 698 out and 50 kept free are 748.
    assert codes(stack_room=748) == []
    assert codes(stack_room=747) == ["stack_room"]


def test_a_frame_that_stands_back_in_its_reveal_needs_less_room_before_the_wall():
    assert codes(stack_room=653, behind=95) == []
    assert codes(stack_room=652, behind=95) == ["stack_room"]


def test_what_stands_further_out_than_leaves_reach_is_passed():
    assert codes(obstruction_places=[downpipe(distance=748)]) == []
    assert codes(obstruction_places=[downpipe(distance=747)]) == ["leaf_sweep"]


def test_what_stands_beside_the_frame_is_passed_and_what_stands_before_it_is_met():
    assert codes(obstruction_places=[downpipe(along=-162, distance=0)]) == []
    assert codes(obstruction_places=[downpipe(along=0, distance=0)]) == ["leaf_sweep"]
    assert codes(obstruction_places=[downpipe(along=3664, distance=0)]) == []


def test_near_the_closing_jamb_leaves_reach_less_far_out():
    """By hand: the access leaf turns about a carrier at 2854 mm. With 50 mm kept free at its side
    this stands from 548 mm beyond it, where the corner of a leaf of 698 x 74 mm, 701.9 mm from its
    pin, comes out by the root of 701.9 x 701.9 - 548 x 548 = 438.6 mm."""
    at = {"along": 3452, "width": 0}
    assert codes(obstruction_places=[downpipe(distance=489, **at)]) == []
    assert codes(obstruction_places=[downpipe(distance=488, **at)]) == ["leaf_sweep"]


def test_what_stands_on_the_other_side_of_the_wall_is_in_nobodys_way():
    inside = downpipe(distance=0, side="inside")
    assert codes(obstruction_places=[inside]) == []
    assert codes(face="inside", obstruction_places=[inside]) == ["leaf_sweep"]


def test_an_obstruction_without_a_place_is_asked_about():
    assert codes(obstructions=["gully"]) == ["obstruction"]
    assert codes(obstructions=["downpipe"], obstruction_places=[downpipe()]) == []


def test_every_finding_has_a_caution_and_a_source():
    conditions = {
        "stack_room": 100,
        "obstructions": ["gully"],
        "obstruction_places": [downpipe(distance=0)],
    }
    found = sweep_findings(conditions, LeafSpace(CHAINS, "outside", 0), LIMIT)
    assert len(found) == 3
    assert all(finding.caution and finding.source for finding in found)


def test_the_plan_draws_leaves_sweep_and_what_stands_there_and_says_so_in_words():
    plan = DrawnPlan(
        LeafSpace(CHAINS, "outside", 95),
        (Obstruction("downpipe", 1000, 100, 110), Obstruction("radiator", 0, 0, 90, "inside")),
        50,
    )
    svg = ElementTree.fromstring(plan_svg(plan))
    words = " ".join(element.text or "" for element in svg.iter(f"{SVG}text"))
    assert "! downpipe" in words
    assert "366 \N{MULTIPLICATION SIGN} 698 mm" in words
    assert "radiator" not in words
    title = svg.findtext(f"{SVG}title", "")
    assert "Folded at the left jamb (5): 366 mm along the frame, 698 mm out." in title
    assert "Downpipe, 1000 mm from the left and 100 mm out: in their way." in title


@pytest.mark.django_db
def test_a_fit_decision_is_kept_with_what_the_leaves_meet(office, opening):
    recorded = {"obstruction_places": [downpipe(distance=100)], "stack_room": 500}
    survey = factories.survey(office, opening, conditions=factories.CONDITIONS | recorded)
    doorset = factories.doorset(office, opening)
    decision = factories.fit_decision(office, survey, doorset)
    assert [finding.code for finding in decision.answer.findings] == ["stack_room", "leaf_sweep"]
    assert plan_of(doorset).obstructions == (Obstruction("downpipe", 1000, 100, 110),)


@pytest.mark.django_db
def test_leaves_stand_behind_the_wall_that_they_fold_out_of(office, opening):
    """A frame 95 mm behind the outer face of a reveal of 280 mm, itself 70 mm deep, stands 115 mm
    behind the inner one."""
    conditions = {"frame_position": 95, "reveal_depth": 280}
    system = factories.profile_system(office, frame_depth=70)
    rules = opening.job.rule_set.rules
    out = factories.doorset(office, opening, profile_system=system)
    assert leaf_space(out, conditions, rules).behind == 95
    out.opens = "in"
    assert leaf_space(out, conditions, rules).behind == 115
    assert leaf_space(out, {}, rules).behind == 0


@pytest.fixture
def sent(client, office, surveyor, opening, survey_visit):
    factories.doorset(office, opening)
    tape = factories.instrument(office)
    laser = factories.instrument(office, name="Laser", **factories.LASER)
    client.force_login(surveyor)

    def send(typed):
        form = sound_form(survey_visit, tape, laser, obstruction_places=typed)
        return client.post(address(opening), form)

    return send


@pytest.mark.django_db
def test_what_is_typed_of_places_is_stored_and_comes_filled_in_again(client, sent, opening):
    sent("Downpipe, -150, 40, 110\nradiator, 200, 0, inside")
    survey = Survey.objects.get()
    assert survey.conditions["obstruction_places"] == [
        {"obstruction": "downpipe", "along": -150, "distance": 40, "width": 110},
        {"obstruction": "radiator", "along": 200, "distance": 0, "side": "inside"},
    ]
    again = client.get(address(opening), {"again": survey.pk}).context["form"]
    assert again["obstruction_places"].value() == (
        "downpipe, -150, 40, 110\nradiator, 200, 0, inside"
    )


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ("tree, 1, 2", "give one of"),
        ("downpipe", "such as downpipe, -150, 40, 110"),
        ("downpipe, 1, x", "such as downpipe, -150, 40, 110"),
        ("downpipe, 1, 2, 3, 4", "such as downpipe, -150, 40, 110"),
        ("downpipe, 0, 90000", "0 to 20000 mm"),
    ],
)
def test_what_cannot_be_a_place_is_said_beside_its_field(sent, typed, words):
    answer = sent(typed)
    assert answer.status_code == 400
    [error] = answer.context["form"].errors["obstruction_places"]
    assert words in error


@pytest.mark.django_db
def test_a_program_is_refused_by_the_name_of_the_field(surveyor, survey_body):
    place = {"obstruction": "tree", "along": 1, "distance": 2}
    conditions = factories.CONDITIONS | {"obstruction_places": [place]}
    answer = signed_in(surveyor).post("/api/v1/surveys/", survey_body | {"conditions": conditions})
    assert pointers(answer) == ["/conditions/obstruction_places/0/obstruction"]
