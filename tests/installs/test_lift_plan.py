"""What the plan of a doorset says of its lifts, by how its sashes and glass come.

Masses are those that tests/checks/test_lift.py works out by hand: frame 27.312 kg, five sashes of
14.709 kg, their panes 27.945 kg each. That a crew lifts a frame with its unglazed sashes in it:
common practice, no source.
"""

import pytest
from django.urls import reverse

from tests import factories
from tests.api import pointers, signed_in

pytestmark = pytest.mark.django_db


@pytest.fixture
def planned(office, fitter, job):
    """Plans the fitting of a 5-5-0 of 3590 x 2100 mm whose system comes as it is given."""

    def plan(**comes):
        system = factories.profile_system(office, **comes)
        return factories.installation(office, fitter, job, profile_system=system)

    return plan


def masses(lifts):
    return [round(lift.mass, 3) for lift in lifts]


def test_a_frame_with_five_sashes_in_it_takes_a_lifting_aid_and_says_what_is_in_its_mass(planned):
    installation = planned()
    lift = installation.plan.lifts.frame
    assert lift.mass == pytest.approx(100.858, abs=0.001)
    assert (lift.with_sashes, lift.people_needed) == ("unglazed", None)
    assert lift.mechanical_aid
    step = installation.steps.get(code="lift_in")
    assert "The frame with its sashes, unglazed, is about 101 kg" in step.caution
    assert "a lifting aid is required" in step.caution
    assert step.checks["team"].startswith("lifted by a lifting aid; with the sashes taken off")


def test_sashes_that_come_hung_may_be_taken_off_first_as_the_manufacturer_allows(planned):
    off = planned().plan.lifts.sashes_off
    # From memory: HSE L23, hands low: two men 26.7 kg, three 30 kg; one 20 kg.
    assert masses([off.frame, off.heaviest_sash]) == [27.312, 14.709]
    assert (off.frame.people_needed, off.heaviest_sash.people_needed) == (3, 1)
    assert off.heaviest_sash.glazed is False
    assert "manufacturer's instructions" in off.condition


def test_the_frame_is_lifted_alone_and_each_sash_by_itself_where_they_come_loose(planned):
    installation = planned(sashes="loose")
    lifts = installation.plan.lifts
    assert (lifts.frame.with_sashes, lifts.sashes_off) == (None, None)
    assert masses([lifts.frame]) == [27.312]
    assert masses(lifts.sashes) == [14.709] * 5
    assert masses(lifts.panes) == [27.945] * 5
    assert "takes 3 people" in installation.steps.get(code="lift_in").caution


def test_glass_that_comes_fitted_is_lifted_with_the_frame_and_never_as_a_pane(planned):
    lifts = planned(glass="fitted").plan.lifts
    assert masses([lifts.frame]) == [240.582]
    assert lifts.frame.with_sashes == "glazed"
    assert masses([lifts.sashes_off.heaviest_sash]) == [42.654]
    assert (lifts.sashes, lifts.panes) == ((), ())


def test_loose_sashes_carry_the_glass_that_comes_fitted_in_them(planned):
    lifts = planned(sashes="loose", glass="fitted").plan.lifts
    assert masses([lifts.frame]) == [27.312]
    assert masses(lifts.sashes) == [42.654] * 5
    assert all(sash.glazed and sash.mechanical_aid for sash in lifts.sashes)
    assert lifts.panes == ()


@pytest.mark.parametrize(
    ("comes", "words"),
    [
        ({}, "about 27.9 kg. Lift it with 3 people or a lifting aid."),
        ({}, "Held low at 275, 939, 1603 mm from its foot, on its long edge."),
        ({"glass": "fitted"}, "It comes fitted in its sash."),
        ({"sashes": "loose"}, "about 14.7 kg: 2 people or a lifting aid"),
        ({"sashes": "loose", "glass": "fitted"}, "about 42.7 kg: a lifting aid"),
    ],
)
def test_the_page_of_a_sash_says_how_its_pane_or_the_sash_is_lifted(
    client, fitter, planned, comes, words
):
    client.force_login(fitter)
    page = client.get(reverse("fitting-sash", args=[planned(**comes).pk, 1]))
    assert words in page.content.decode()


def test_the_calculation_answers_what_is_lifted_and_refuses_a_way_of_coming_it_does_not_know(
    fitter,
):
    client = signed_in(fitter)
    body = {
        "frame": {"width": 3590, "height": 2100},
        "fold": "5-5-0",
        "opens": "out",
        "profile_system": factories.PROFILE_DATA,
        "glazing": factories.GLAZING,
    }
    factories.rule_set()
    path = "/api/v1/calculations/doorset/"
    assert client.post(path, body).json()["lifted_mass"] == pytest.approx(100.858, abs=0.001)
    body["profile_system"] = factories.PROFILE_DATA | {"sashes": "loose"}
    assert client.post(path, body).json()["lifted_mass"] == pytest.approx(27.312)
    body["profile_system"] = factories.PROFILE_DATA | {"sashes": "stacked"}
    assert pointers(client.post(path, body)) == ["/profile_system/sashes"]


WAY_IN = {
    "passage_width": 1200,
    "passage_height": 2400,
    "corners": [],
    "steps": 1,
    "distance": 25,
}


def measured(office, opening, way_in=WAY_IN, **conditions):
    """The way in, measured by a survey of its own."""
    given = factories.CONDITIONS | {"way_in": way_in} | conditions
    return factories.survey(office, opening, conditions=given)


@pytest.fixture
def planned_with(office, fitter, job):
    """Plans a fitting after its way in was measured."""

    def plan(way_in=WAY_IN, conditions=None, **comes):
        system = factories.profile_system(office, **comes)
        doorset = factories.released_doorset(
            office, factories.opening(office, job), profile_system=system
        )
        measured(office, doorset.opening, way_in, **(conditions or {}))
        return factories.planned(office, fitter, doorset)

    return plan


def test_every_lift_says_where_it_is_held(planned):
    lifts = planned(sashes="loose").plan.lifts
    # By hand: k = 1366.3 mm of the frame alone, three at k sqrt(12 / 8) from each other.
    assert lifts.frame.held.places == (122, 1795, 3468)
    assert (lifts.frame.held.by, lifts.frame.held.along) == ("people", "width")
    assert {sash.held.along for sash in lifts.sashes} == {"height"}
    assert {len(sash.held.places) for sash in lifts.sashes} == {2}
    # Published: Airy's three places, 0.1464 of 1878 mm from the ends.
    assert {pane.held.places for pane in lifts.panes} == {(275, 939, 1603)}


def test_a_lifting_aid_bears_a_frame_with_its_sashes_at_two_places(planned):
    held = planned().plan.lifts.frame.held
    assert (held.by, len(held.places)) == ("aid", 2)


def test_the_step_of_the_lift_says_where_to_hold_and_what_was_worked_out(planned_with):
    step = planned_with(sashes="loose").steps.get(code="lift_in")
    assert step.checks["grip"] == "held low at 122, 1795, 3468 mm from the left, upright"
    assert "got in as planned: It passes the way in as it comes." in step.checks["access"]
    assert step.checks["tilt"].startswith("Sill first, then tilt it up")


def test_without_a_measured_way_in_nothing_is_said_of_it(planned):
    installation = planned()
    assert installation.plan.lifts.access is None
    assert "access" not in installation.steps.get(code="lift_in").checks


def test_the_plan_holds_how_the_doorset_gets_in(planned_with):
    access = planned_with(sashes="loose").plan.lifts.access
    assert access.verdict == "as_it_is"
    assert access.way_in.steps == 1
    assert any("25 m" in advice for advice in access.advice)
    assert any(source.startswith("steps: Approved Document K") for source in access.sources)


def test_a_frame_that_does_not_get_in_by_the_measured_way_asks_who_agreed_to_another(planned_with):
    tight = {"passage_height": 2400, "corners": [{"before": 900, "after": 1000}]}
    installation = planned_with(tight)
    assert installation.plan.lifts.access.verdict == "does_not_pass"
    check = installation.steps.get(code="lift_in").checks["access"]
    assert check.startswith("the office agreed to another way in, and it was walked first.")


def test_lifting_gear_that_the_survey_asked_for_is_in_the_plan(planned_with):
    gear = planned_with(conditions={"access": ["steps", "lifting_gear_needed"]})
    assert any("lifting gear" in advice for advice in gear.plan.lifts.access.advice)


def test_a_frame_goes_in_from_inside_where_the_ground_outside_lies_lower(planned_with):
    low = planned_with(conditions={"outside_drop": 750, "guarding_present": True})
    tilt = low.plan.lifts.tilt
    assert tilt.side.startswith("From inside: the ground outside lies 750 mm lower")
    assert tilt.head_joint is not None
    # By hand: sqrt(2100^2 + 100^2) - 2100, the system gives no depth.
    assert (tilt.depth, tilt.needed) == (100, pytest.approx(2.38, abs=0.005))
